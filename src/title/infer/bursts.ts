import type { Level } from '../../port/pins.ts'
import { Histogram } from './histogram.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import { HIGH, LOW, UNKNOWN } from '../select-line.ts'

/** A read as far as edges show it: a burst of them between two rests. */
export interface Burst {
  /** Index of its first edge in the line's columns. */
  readonly first: number
  readonly edges: number
}

export interface Bursts {
  readonly rest: Level
  /** What nearly all phases away from rest stay below; 0 where there are none. */
  readonly phaseNs: number
  /** Whole bursts: from rest, back to rest, at known levels; the first 2^18 of them. */
  readonly whole: readonly Burst[]
  /** Where the first whole burst begins that is not kept. */
  readonly keptUntilNs: number | null
  /** Those that the capture begins or ends in the middle of, for all that is known. */
  readonly cut: readonly Burst[]
  /** Whether there is such a one, which is then left out. */
  readonly cutAtStart: boolean
  readonly cutAtEnd: boolean
  /** From the last edge of a burst to the first of the next; nothing where there are not two. */
  readonly gaps: { readonly minNs: number; readonly maxNs: number } | null
  /** Left out because a level in them is unknown, or because they do not bring the line back to rest. */
  readonly broken: Noted
}

/**
 * How many times longer than the phases away from rest a rest between two reads is, at the least. Common practice, no source: a
 * title spaces the edges of a read evenly within a factor of two or so, and has work to do between reads.
 */
const GAP_OVER_PHASE = 4
/** A phase as long as this share of the others is usual; the rest may be a title that was interrupted. */
const USUAL_SHARE = 0.9

/** Most bursts that are kept: more than an hour of frames. What comes after them says nothing new. */
const MAX_BURSTS = 2 ** 18

/** The level at which the line spends more time. */
export function restOf({ timesNs, levels, endNs }: SelectLine): Level {
  let balanceNs = 0
  for (let k = 0; k < timesNs.length; k++) {
    const lastedNs = (timesNs[k + 1] ?? endNs) - (timesNs[k] ?? 0)
    if (levels[k] === HIGH) balanceNs += lastedNs
    else if (levels[k] === LOW) balanceNs -= lastedNs
  }
  return balanceNs < 0 ? 'low' : 'high'
}

/**
 * Cuts a line into bursts at its rests.
 *
 * @param cutAt `rests`: at those that are long compared with its phases; `each`: each time that it comes back to rest
 */
export function findBursts(
  line: SelectLine,
  cutAt: 'rests' | 'each' = 'rests',
  maxBursts = MAX_BURSTS,
): Bursts {
  const { timesNs, levels, endNs } = line
  const rest = restOf(line)
  const resting = rest === 'high' ? HIGH : LOW
  const phases = new Histogram()
  for (let k = 1; k < timesNs.length - 1; k++) {
    if (levels[k] !== resting && levels[k] !== UNKNOWN) phases.add((timesNs[k + 1] ?? 0) - (timesNs[k] ?? 0))
  }
  const phaseNs = phases.quantile(USUAL_SHARE)
  // A level that lasts longer is no phase of a read but lies between two.
  const gapOverNs = cutAt === 'each' ? 0 : GAP_OVER_PHASE * phaseNs
  const lastedNs = (k: number): number => (timesNs[k + 1] ?? endNs) - (timesNs[k] ?? 0)
  const restsFor = (k: number): boolean => levels[k] === resting && lastedNs(k) > gapOverNs

  const whole: Burst[] = []
  const cut: Burst[] = []
  let keptUntilNs: number | null = null
  const broken = { count: 0, firstNs: 0 }
  const gaps = { minNs: Number.POSITIVE_INFINITY, maxNs: 0 }
  let cutAtStart = false
  let cutAtEnd = false
  let first = 1
  for (let last = 1; last < timesNs.length; last++) {
    const ends = last === timesNs.length - 1
    if (!ends && (cutAt === 'each' ? levels[last] !== resting : lastedNs(last) <= gapOverNs)) continue
    const known = !levels.subarray(first - 1, last + 1).includes(UNKNOWN)
    if (known && restsFor(first - 1) && restsFor(last)) {
      if (whole.length < maxBursts) whole.push({ first, edges: last - first + 1 })
      else keptUntilNs ??= timesNs[first] ?? null
      if (first > 1) {
        gaps.minNs = Math.min(gaps.minNs, lastedNs(first - 1))
        gaps.maxNs = Math.max(gaps.maxNs, lastedNs(first - 1))
      }
    } else if (first === 1 && lastedNs(0) <= gapOverNs && hasEdge(levels, first, last)) {
      cutAtStart = true
      if (known) cut.push({ first, edges: last - first + 1 })
    } else if (ends && lastedNs(last) <= gapOverNs && hasEdge(levels, first, last)) {
      cutAtEnd = true
      if (known) cut.push({ first, edges: last - first + 1 })
    } else if (hasEdge(levels, first, last)) {
      if (broken.count++ === 0) broken.firstNs = timesNs[first] ?? 0
    }
    first = last + 1
  }
  return {
    rest,
    phaseNs,
    whole,
    keptUntilNs,
    gaps: gaps.maxNs > 0 ? gaps : null,
    cut,
    cutAtStart,
    cutAtEnd,
    broken,
  }
}

/** Whether any of these changes is between two known levels. */
function hasEdge(levels: Uint8Array, first: number, last: number): boolean {
  for (let k = first; k <= last; k++) {
    if (levels[k] !== UNKNOWN && levels[k - 1] !== UNKNOWN) return true
  }
  return false
}
