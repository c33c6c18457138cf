import type { Chart } from '../port/chart.ts'
import type { Input, Level } from '../port/pins.ts'
import { INPUTS } from '../port/pins.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { t } from './profile-file-texts.ts'

/**
 * Replies that come late, and later step by step while an input is held: what a probe measures sample times with. Step `k`, from 0,
 * is late by `firstNs + k * stepNs`, beyond what the adapter states and beyond each edge. In each step the input is pressed for `onMs` and
 * released for `offMs`; behind the last it stays released until it is let go. While nothing is held the replies are late by `firstNs`.
 */
export interface Sweep {
  readonly input: Input
  /** Phases whose reply is late; what stood there before stands on meanwhile. */
  readonly phases: readonly LatePhase[]
  readonly firstNs: number
  readonly stepNs: number
  readonly steps: number
  readonly onMs: number
  readonly offMs: number
}

/** A phase by the row of the chart that answers in it. */
export interface LatePhase {
  readonly row: number
  readonly level: Level
}

export const SWEEP_LIMITS = {
  /** The adapter counts in cycles, and counting takes two of them by itself. */
  cycleNs: 8,
  minLateNs: 16,
  maxLateNs: 30_000,
  maxSteps: 255,
  /** Of on and of off. */
  stepMs: 10,
  maxMs: 2_550,
  /** Words of the reply table, of which a row takes five and a late phase two more. */
  words: 30,
  rowWords: 5,
  lateWords: 2,
} as const

export const rowsOf = ({ cycles, after }: Chart): number => cycles.length + (after.kind === 'stay' ? 1 : 0)

/** How many late phases the reply table has room for, with so many rows. */
export const mostLatePhases = (rows: number): number =>
  Math.min(2 * rows, Math.floor((SWEEP_LIMITS.words - SWEEP_LIMITS.rowWords * rows) / SWEEP_LIMITS.lateWords))

/** Bit `2 * row` is the high phase of a row, the next one its low phase. */
export const phaseBits = (phases: readonly LatePhase[]): number =>
  phases.reduce((bits, { row, level }) => bits | (1 << (2 * row + (level === 'high' ? 0 : 1))), 0)

export const phasesIn = (bits: number): LatePhase[] =>
  Array.from({ length: 12 }, (_, k) => k)
    .filter((k) => (bits >> k) & 1)
    .map((k) => ({ row: k >> 1, level: k & 1 ? 'low' : 'high' }))

const within = (value: number, min: number, max: number, step: number): boolean =>
  Number.isInteger(value) && value >= min && value <= max && value % step === 0

/** Whether an image can carry a sweep; the error is a sentence. */
export function checkSweep(sweep: Sweep, chart: Chart, delayNs: number): Result<null, string> {
  const { cycleNs, minLateNs, maxLateNs, maxSteps, stepMs, maxMs } = SWEEP_LIMITS
  const rows = rowsOf(chart)
  const { phases, firstNs, stepNs, steps, onMs, offMs } = sweep
  const bits = phaseBits(phases)
  if (delayNs !== 0) return err(t.sweepWithDelay)
  if (bits === 0 || bits >> (2 * rows) !== 0 || phasesIn(bits).length !== phases.length)
    return err(t.sweepPhases)
  if (phases.length > mostLatePhases(rows))
    return err(t.sweepRoom({ most: Math.max(0, mostLatePhases(rows)) }))
  const lastNs = firstNs + stepNs * (steps - 1)
  const times =
    within(firstNs, minLateNs, maxLateNs, cycleNs) &&
    within(stepNs, cycleNs, maxLateNs, cycleNs) &&
    within(steps, 1, maxSteps, 1) &&
    lastNs <= maxLateNs
  if (!times) return err(t.sweepTimes({ min: minLateNs, max: maxLateNs, step: cycleNs }))
  if (!within(onMs, stepMs, maxMs, stepMs) || !within(offMs, stepMs, maxMs, stepMs))
    return err(t.sweepPulses({ min: stepMs, max: maxMs }))
  return INPUTS.includes(sweep.input) ? ok(null) : err(t.oneInput)
}
