import type { ChartShape } from './shape.ts'
import { rowAfter } from './shape.ts'
import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { Zone } from '../zone.ts'

/** Stands for an instant that is not to come, or for one before everything. */
export const NONE = -1

/** What the pins answer with: `2 × row of the chart`, and 1 more at high. */
export type ReplyCode = number

/** A code that stands in the pad's count from one instant to another, both included: at a tie either side can be met. */
export interface Standing {
  readonly code: ReplyCode
  /** Rising edges since the last idle reset, as somebody counts them who does not begin again after the last cycle. */
  readonly rises: number
  /** Instant from which it stands; `NONE`: since before the first read. */
  readonly from: number
  /** Instant until which it stands; `NONE`: for as long as the title does nothing. */
  readonly until: number
}

/** What the pad has counted, and what is still to come by itself, in a zone that holds the instants. */
export interface Count {
  readonly zone: Zone
  readonly row: number
  readonly rises: number
  readonly isHigh: boolean
  /** Instant of the idle reset to come, or `NONE`. */
  readonly reset: number
  /** Instant at which a released line will have risen, or `NONE`. */
  readonly rising: number
}

export const rowOf = (code: ReplyCode): number => code >> 1
export const levelOf = (code: ReplyCode): Level => (code & 1 ? 'high' : 'low')

/** One order in which things come by themselves, and what stood while they did. */
export interface Passage extends Count {
  /** In order; the last one still stands. */
  readonly stood: readonly Standing[]
}

export const codeOf = ({ row, isHigh }: Pick<Count, 'row' | 'isHigh'>): ReplyCode =>
  row * 2 + (isHigh ? 1 : 0)

/**
 * Every order in which reset and rise can come before the instant `by`, each with the times that allow it. The rules at a tie: a reset
 * comes before whatever falls on the same instant; a fall comes before the rise of a released line, which is lost.
 *
 * @param from instant from which what stands now has stood
 * @param by `NONE`: nothing is to come but what comes by itself
 * @param falls whether select is driven low at `by`
 */
export function passages(
  count: Count,
  from: number,
  by: number,
  falls: boolean,
  shape: ChartShape,
  idleReset: RangeNs,
): Passage[] {
  const found: Passage[] = []
  const go = (now: Count, since: number, before: readonly Standing[]): void => {
    const { zone, row, rises, isHigh, reset, rising } = now
    const code = codeOf(now)
    const stoodUntil = (until: number): Standing[] => [...before, { code, rises, from: since, until }]
    if (reset === NONE && rising === NONE) {
      found.push({ zone, row, rises, isHigh, reset, rising, stood: stoodUntil(by) })
      return
    }
    const first = soonest(now, by, falls)
    if (first.neither) {
      const left = falls ? NONE : rising
      found.push({ zone: first.neither, row, rises, isHigh, reset, rising: left, stood: stoodUntil(by) })
    }
    if (first.reset)
      go({ zone: first.reset, row: 0, rises: 0, isHigh, reset: NONE, rising }, reset, stoodUntil(reset))
    if (first.rise) {
      const next = first.rise.after(rising, idleReset.minNs, idleReset.maxNs)
      const after = rowAfter(shape, row)
      go(
        { zone: first.rise, row: after, rises: rises + 1, isHigh: true, reset: next, rising: NONE },
        rising,
        stoodUntil(rising),
      )
    }
  }
  go(count, from, [])
  return found
}

interface Soonest {
  readonly neither: Zone | null
  readonly reset: Zone | null
  readonly rise: Zone | null
}

/** What can come first of reset, rise and `by`, each with the zone in which it does; a copy, unless nothing else can come first. */
function soonest({ zone, reset, rising }: Count, by: number, falls: boolean): Soonest {
  const tieNs = falls ? 0 : -1
  const canNeither =
    by !== NONE &&
    (reset === NONE || zone.least(by, reset) <= -1) &&
    (rising === NONE || zone.least(by, rising) <= tieNs)
  const canReset =
    reset !== NONE &&
    (by === NONE || zone.least(reset, by) <= 0) &&
    (rising === NONE || zone.least(reset, rising) <= 0)
  const canRise =
    rising !== NONE &&
    (by === NONE || zone.least(rising, by) <= -1 - tieNs) &&
    (reset === NONE || zone.least(rising, reset) <= -1)
  // What is bounded last needs no copy.
  const neither = canNeither ? (canReset || canRise ? zone.copy() : zone) : null
  const first = canReset ? (canRise ? zone.copy() : zone) : null
  return {
    neither:
      neither && bounded(neither, by, reset, -1) && bounded(neither, by, rising, tieNs) ? neither : null,
    reset: first && bounded(first, reset, by, 0) && bounded(first, reset, rising, 0) ? first : null,
    rise: canRise && bounded(zone, rising, by, -1 - tieNs) && bounded(zone, rising, reset, -1) ? zone : null,
  }
}

/** Keeps only what has the one instant come so much after the other at the most, where there are both. @returns whether anything is left */
const bounded = (zone: Zone, later: number, earlier: number, byNs: number): boolean =>
  later === NONE || earlier === NONE || zone.bound(later, earlier, byNs)
