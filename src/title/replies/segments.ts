import { HIGH, LOW, UNKNOWN } from '../select-line.ts'
import { SETTLED_BY_NS, endOf, hasEdge, isHigh, startOf } from './phases.ts'
import type { Phases } from './phases.ts'

/** Bounds of any pad's idle reset after a rise, in ns. From memory: pads reset after 1.1 ms or later; the bounds leave room around that. */
export const LEAST_RESET_NS = 100_000
export const MOST_RESET_NS = 10_000_000

/** A segment is cut at so many phases: an input that changes in it spoils no more. */
const MOST_PHASES = 32

/** Phases that follow one another so closely that no idle reset lies between their rises. */
export interface Segment {
  readonly first: number
  /** The rest that follows, if one does. */
  readonly last: number
  /**
   * From the last rise before it to its first; 0 where it goes on at once, and `null` where what was counted before is not known.
   */
  readonly gapNs: number | null
}

/** Where a segment ends, and the gap to the next one. */
interface Cut {
  readonly last: number
  readonly gapNs: number | null
}

/** Cuts a line at its rests. What a pulse too short for a phase was counted as, or an unknown level, is not known. */
export function segmentsOf(phases: Phases): Segment[] {
  const isBroken = brokenIn(phases)
  const segments: Segment[] = []
  let next: { first: number; gapNs: number | null } = { first: 0, gapNs: null }
  for (const { last, gapNs } of cutsOf(phases, isBroken)) {
    for (; next.first + MOST_PHASES <= last; next = { first: next.first + MOST_PHASES, gapNs: 0 })
      segments.push({ ...next, last: next.first + MOST_PHASES - 1 })
    const hasEdges = last > next.first || hasEdge(phases, last)
    if (next.first <= last && isBroken[next.first] === 0 && hasEdges) segments.push({ ...next, last })
    next = { first: last + 1, gapNs }
  }
  return segments
}

function* cutsOf(phases: Phases, isBroken: Uint8Array): Generator<Cut> {
  const { count } = phases
  let cutAt = -1
  /** The phase that the last rise opened. */
  let risen: number | null = null
  for (let k = 0; k < count; k++) {
    if (isBroken[k]) {
      if (cutAt < k - 1) yield { last: k - 1, gapNs: null }
      yield { last: k, gapNs: null }
      cutAt = k
      risen = null
      continue
    }
    const isRise = k > 0 && isHigh(phases, k) && phases.select.levels[k - 1] === LOW && !isBroken[k - 1]
    if (!isRise) {
      // Before the first rise that is known, a rest can have been a reset.
      const isRest = endOf(phases, k) - startOf(phases, k) >= SETTLED_BY_NS
      if (risen === null && isRest && k < count - 1) {
        yield { last: k, gapNs: null }
        cutAt = k
      }
      continue
    }
    if (risen !== null) {
      const gapNs = startOf(phases, k) - startOf(phases, risen)
      const last = restBefore(phases, k)
      if (gapNs >= LEAST_RESET_NS && last > cutAt) {
        yield { last, gapNs }
        cutAt = last
      }
    }
    risen = k
  }
  yield { last: count - 1, gapNs: null }
}

/** The longer of the two phases before a rise. */
function restBefore(phases: Phases, rise: number): number {
  const lasts = (k: number): number => endOf(phases, k) - startOf(phases, k)
  return rise >= 2 && lasts(rise - 2) > lasts(rise - 1) ? rise - 2 : rise - 1
}

/** 1 for each phase whose rises nobody can count: at an unknown level, or with pulses in it that are too short for a phase. */
function brokenIn({ select, count }: Phases): Uint8Array {
  const { timesNs, levels, pulsesNs, glitches } = select
  const broken = Uint8Array.from({ length: count }, (_, k) =>
    levels[k] === UNKNOWN || (levels[k] !== HIGH && levels[k] !== LOW) ? 1 : 0,
  )
  let phase = 0
  for (let pulse = 0; pulse < pulsesNs.length; pulse += 2) {
    const atNs = pulsesNs[pulse] as number
    while (phase + 1 < count && (timesNs[phase + 1] as number) <= atNs) phase++
    broken[phase] = 1
  }
  // Of more pulses than are kept nobody knows where they are.
  if (2 * glitches.count > pulsesNs.length) broken.fill(1, phase)
  return broken
}
