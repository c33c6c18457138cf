import type { SelectLine } from '../select-line.ts'
import { UNKNOWN } from '../select-line.ts'

/** Changes of a line that follow each other, by their indexes in its columns. */
export interface Span {
  readonly first: number
  readonly last: number
}

/** The changes from one to another, cut wherever the line then stays for so long, in ns, or longer. */
export function cutAtRests({ timesNs }: SelectLine, { first, last }: Span, restNs: number): Span[] {
  const spans: Span[] = []
  let from = first
  for (let k = first; k <= last; k++) {
    if (k < last && (timesNs[k + 1] ?? 0) - (timesNs[k] ?? 0) < restNs) continue
    spans.push({ first: from, last: k })
    from = k + 1
  }
  return spans
}

/** Where the level is first known: the index of the entry that says so. Nobody has driven the line before. */
export const firstKnown = ({ levels }: SelectLine): number =>
  Math.max(
    0,
    levels.findIndex((level) => level !== UNKNOWN),
  )

/** Whether the level is known all through these changes, before the first and after the last of them, too. */
export function isKnown({ levels }: SelectLine, { first, last }: Span): boolean {
  for (let k = first - 1; k <= last; k++) if (levels[k] === UNKNOWN) return false
  return true
}

/** The longest time between two of these changes, in ns; 0 where there is only one. */
export function longestRestNs({ timesNs }: SelectLine, { first, last }: Span): number {
  let mostNs = 0
  for (let k = first; k < last; k++) mostNs = Math.max(mostNs, (timesNs[k + 1] ?? 0) - (timesNs[k] ?? 0))
  return mostNs
}

/** These changes as a line of their own: from the level before them until the next change. */
export function partOf(line: SelectLine, { first, last }: Span): SelectLine {
  const timesNs = line.timesNs.subarray(first - 1, last + 1)
  const none = { count: 0, firstNs: 0 }
  return {
    timesNs,
    levels: line.levels.subarray(first - 1, last + 1),
    startNs: timesNs[0] ?? line.startNs,
    endNs: line.timesNs[last + 1] ?? line.endNs,
    sampledNs: line.sampledNs,
    glitches: none,
    pulsesNs: new Float64Array(),
    unknown: none,
    undriven: none,
    full: false,
  }
}
