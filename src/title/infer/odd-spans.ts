import { HIGH, LOW } from '../select-line.ts'
import type { SelectLine } from '../select-line.ts'
import { cutAtRests, firstKnown, isKnown } from './spans.ts'
import type { Span } from './spans.ts'
import { freeWalk, TitleWalk } from './title-walk.ts'
import type { Timing, Walk } from './title-walk.ts'

/**
 * A rest, in ns, that no pad counts on through: their idle resets come 1.1 to 1.8 ms after the last rise (from memory). What is odd before it does not
 * change what a pad answers after it.
 */
export const LONG_REST_NS = 4_000_000

/** What a line does from one long rest to the next, and a title does not. */
export interface OddSpan extends Span {
  /** Reads of the title that come after something odd and sooner than after the title's longest rest: what was counted there may go on. */
  readonly isAfter: boolean
}

const ODD = 1
const AFTER_ODD = 2

/** What of a line is odd, with the reads around it. Nothing where the title does all of it. */
export function findOddSpans(line: SelectLine, title: Timing): OddSpan[] {
  const first = firstKnown(line) + 1
  const last = line.timesNs.length - 1
  if (first > last) return []
  // A phase of a read is not a rest, however long it is.
  const restNs = Math.max(LONG_REST_NS, title.edgeSpacingNs.maxNs + 1)
  const spans = cutAtRests(line, { first, last }, restNs)
  const odd = new Uint8Array(spans.length)
  const held = new HeldLine(line, title, first)
  let opened = 0
  spans.forEach((span, k) => {
    const { is, leavesFrame, opensFrame } = held.take(span)
    if (leavesFrame) odd.fill(ODD, opened, k)
    odd[k] = is
    if (opensFrame) opened = k
  })
  if (held.endsInFrame()) odd.fill(ODD, opened)
  return spans.flatMap((span, k) => (odd[k] ? [{ ...span, isAfter: odd[k] === AFTER_ODD }] : []))
}

/** A line held against a title, span by span. */
class HeldLine {
  readonly #walk: Walk
  readonly #edges: number
  readonly #resting: number
  /** Whether the title has not rested since something odd as long as it does in its longest rest: what was counted may go on. */
  #isUnrested = false

  constructor(
    private readonly line: SelectLine,
    private readonly title: Timing,
    private readonly first: number,
  ) {
    this.#walk = title.apartNs === undefined ? new TitleWalk(title) : freeWalk(title.apartNs)
    this.#edges = 2 * title.cyclesPerRead
    this.#resting = title.rest === 'high' ? HIGH : LOW
  }

  take(span: Span): {
    readonly is: number
    readonly leavesFrame: boolean
    readonly opensFrame: boolean
  } {
    const { timesNs } = this.line
    const restedNs = (timesNs[span.first] ?? 0) - (timesNs[span.first - 1] ?? 0)
    if (restedNs >= this.#walk.longestRestNs) this.#isUnrested = false
    let isOdd = false
    let leavesFrame = false
    let opensFrame = false
    const bursts = isKnown(this.line, span)
      ? cutAtRests(this.line, span, this.title.edgeSpacingNs.maxNs + 1)
      : []
    if (bursts.length === 0) {
      isOdd = true
      leavesFrame = this.#walk.interrupt().leavesFrame
    }
    for (const burst of bursts) {
      const missing = this.#missingOf(burst)
      const met = missing === null ? null : this.#walk.meet(this.#firstEdge(burst, missing))
      if (!met?.fits) isOdd = true
      leavesFrame ||= (met ?? this.#walk.interrupt()).leavesFrame
      opensFrame ||= met?.opensFrame ?? false
    }
    const is = isOdd ? ODD : this.#isUnrested ? AFTER_ODD : 0
    if (isOdd) this.#isUnrested = true
    return { is, leavesFrame, opensFrame }
  }

  /** Whether the capture ends with a frame that lacks a read. */
  endsInFrame(): boolean {
    return this.#walk.lacks(this.line.endNs)
  }

  /** How many edges of the read the capture cuts off before these; `null` where they are no read, as far as the capture goes. */
  #missingOf({ first, last }: Span): number | null {
    const { timesNs, levels, endNs } = this.line
    const { minNs, maxNs } = this.title.edgeSpacingNs
    const missing = this.#edges - (last - first + 1)
    if (missing < 0) return null
    for (let k = first + 1; k <= last; k++) if ((timesNs[k] ?? 0) - (timesNs[k - 1] ?? 0) < minNs) return null
    const opens = levels[first - 1] === this.#resting
    const closes = levels[last] === this.#resting
    if (missing === 0) return opens && closes ? 0 : null
    const isCutBefore =
      first === this.first && (timesNs[first] ?? 0) - (timesNs[first - 1] ?? 0) <= maxNs && closes
    if (isCutBefore) return missing
    const isCutAfter = last === timesNs.length - 1 && endNs - (timesNs[last] ?? 0) <= maxNs && opens
    return isCutAfter ? 0 : null
  }

  #firstEdge({ first }: Span, missing: number): { readonly minNs: number; readonly maxNs: number } {
    const atNs = this.line.timesNs[first] ?? 0
    const { minNs, maxNs } = this.title.edgeSpacingNs
    return { minNs: atNs - missing * maxNs, maxNs: atNs - missing * minNs }
  }
}
