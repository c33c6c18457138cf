import type { SelectLine } from '../select-line.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { bothOf } from './alike.ts'
import type { Bursts } from './bursts.ts'
import { cleanStretches } from './clean-stretches.ts'
import type { Stretch } from './clean-stretches.ts'
import { findOddSpans, throughout } from './odd-spans.ts'
import type { Part } from './odd-spans.ts'
import { timingOf, untied } from './patterns.ts'
import type { Pattern } from './patterns.ts'
import { placeModes } from './place-modes.ts'
import { partOf } from './spans.ts'
import { startMode } from './start-mode.ts'

/** One of the ways in which a title reads the port, for a stretch of the capture or for several. */
export interface FoundMode {
  readonly pattern: Pattern
  readonly firstNs: number
  /** Whether it came at power-on, and only then. */
  readonly isOnce: boolean
}

export interface Modes {
  /** In the order in which they came. */
  readonly modes: readonly FoundMode[]
  readonly parts: readonly Part[]
}

/** A stretch of the capture that is in a mode, by the burst that it begins with and the one after it. */
export interface ModeStretch {
  readonly from: number
  readonly to: number
  readonly mode: number
}

/** Between stretches that are tied to frames, so many reads that no frame ties are a mode, too. */
const LEAST_UNTIED = 24
/** A title changes its mode now and then: where it seems to do so more often, for so many reads of a long capture, it is something else. */
const MOST_CHANGES = 48
const LEAST_READS = 256

/**
 * Tells modes apart: where a line has stretches with one pattern each. `null` where it has no two of them.
 *
 * @param fromPowerOn what comes before all that comes again is a mode, too
 */
export function findModes(line: SelectLine, bursts: Bursts, fromPowerOn: boolean): Modes | null {
  const { whole } = bursts
  const groups = new Groups()
  for (const stretch of withUntied(line, bursts, cleanStretches(line, whole))) groups.add(stretch)
  const again = ofOneStandard(line, bursts, groups.most())
  const [first] = again.stretches
  const next = first && again.patterns[first.mode]
  const start = fromPowerOn && first && next ? startMode(line, bursts, first.from, next) : null
  const { patterns, stretches } = start && first ? after(start, first.from, again) : again
  const merged = mergedStretches(stretches)
  if (patterns.length < 2 || merged.length > Math.max(MOST_CHANGES, whole.length / LEAST_READS)) return null
  const startsNs = Float64Array.from(whole, ({ first }) => line.timesNs[first] ?? 0)
  const placed = placeModes(patterns, merged, startsNs)
  const modes = placed.patterns.map((pattern, mode): FoundMode => {
    const first = placed.stretches.find((one) => one.mode === mode)
    return { pattern, firstNs: startsNs[first?.from ?? 0] ?? 0, isOnce: start !== null && mode === 0 }
  })
  const parts = placed.stretches.map(({ from, to, mode, restedNs }): Part => ({
    fromNs: from === 0 ? -Infinity : (startsNs[from] ?? 0),
    untilNs: startsNs[to] ?? Infinity,
    timing: timingOf(placed.patterns[mode] as Pattern),
    restedNs,
  }))
  return { modes, parts }
}

/** With a mode before all others. */
const after = (
  start: Pattern,
  to: number,
  { patterns, stretches }: ReturnType<Groups['most']>,
): ReturnType<Groups['most']> => ({
  patterns: [start, ...patterns.slice(0, TITLE_LIMITS.modes - 1)],
  stretches: [
    { from: 0, to, mode: 0 },
    ...stretches
      .map((one) => ({ ...one, mode: one.mode + 1 }))
      .filter(({ mode }) => mode < TITLE_LIMITS.modes),
  ],
})

/** The patterns of stretches, each once. */
class Groups {
  #patterns: Pattern[] = []
  #stretches: ModeStretch[] = []

  add({ from, to, pattern }: Stretch): void {
    for (const [mode, known] of this.#patterns.entries()) {
      const both = bothOf(known, pattern)
      if (both === null) continue
      this.#patterns[mode] = both
      this.#stretches.push({ from, to, mode })
      return
    }
    this.#stretches.push({ from, to, mode: this.#patterns.length })
    this.#patterns.push(pattern)
  }

  /** As many as a title file can hold, those with the most reads. */
  most(): { readonly patterns: readonly Pattern[]; readonly stretches: readonly ModeStretch[] } {
    const kept = this.#patterns
      .map((pattern, mode) => ({ pattern, mode }))
      .sort((one, other) => other.pattern.reads - one.pattern.reads)
      .slice(0, TITLE_LIMITS.modes)
      .sort((one, other) => one.mode - other.mode)
    const stretches = this.#stretches.flatMap((one) => {
      const mode = kept.findIndex((other) => other.mode === one.mode)
      return mode === -1 ? [] : [{ ...one, mode }]
    })
    return { patterns: kept.map(({ pattern }) => pattern), stretches }
  }
}

/** With those in between of reads of one shape that no frame ties. */
function withUntied(line: SelectLine, bursts: Bursts, tied: readonly Stretch[]): Stretch[] {
  const { length } = bursts.whole
  const all: Stretch[] = []
  let from = 0
  for (const next of [...tied, null]) {
    const to = next?.from ?? length
    const between = to - from >= LEAST_UNTIED ? untiedBetween(line, bursts, from, to) : null
    if (between !== null) all.push({ from, to, pattern: between })
    if (next !== null) all.push(next)
    from = next?.to ?? length
  }
  return all
}

/** Reads of one shape, and nothing else. */
function untiedBetween(line: SelectLine, { whole }: Bursts, from: number, to: number): Pattern | null {
  const [first, last] = [whole[from], whole[to - 1]]
  if (first === undefined || last === undefined) return null
  const part = partOf(line, { first: first.first, last: last.first + last.edges - 1 })
  const found = untied(part, 'rests')
  if (!found.ok || findOddSpans(part, throughout(timingOf(found.value))).length > 0) return null
  return found.value
}

/** A title has one video standard: frames of the other one are told by the time from read to read. */
function ofOneStandard(
  line: SelectLine,
  bursts: Bursts,
  { patterns, stretches }: ReturnType<Groups['most']>,
): ReturnType<Groups['most']> {
  const [main] = patterns.filter(({ apartNs }) => apartNs === null).sort((p, q) => q.frames - p.frames)
  const isOther = ({ apartNs, fields }: Pattern): boolean =>
    apartNs === null && fields.standard !== main?.fields.standard
  const told = patterns.map((pattern, mode): Pattern | null => {
    if (!isOther(pattern)) return pattern
    return stretches
      .filter((one) => one.mode === mode)
      .map(({ from, to }) => untiedBetween(line, bursts, from, to))
      .reduce((one, other) => one && other && bothOf(one, other))
  })
  const kept = told.flatMap((pattern, mode) => (pattern === null ? [] : [{ pattern, mode }]))
  return {
    patterns: kept.map(({ pattern }) => pattern),
    stretches: stretches.flatMap((one) => {
      const mode = kept.findIndex((other) => other.mode === one.mode)
      return mode === -1 ? [] : [{ ...one, mode }]
    }),
  }
}

/** Stretches of one mode that follow each other, with what lies between them, as one. */
function mergedStretches(stretches: readonly ModeStretch[]): ModeStretch[] {
  const all: ModeStretch[] = []
  for (const next of stretches) {
    const last = all.at(-1)
    if (last?.mode === next.mode) all[all.length - 1] = { ...last, to: next.to }
    else all.push(next)
  }
  return all
}
