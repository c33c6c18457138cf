import { SIX_BUTTON_CHART } from '../../port/family.ts'
import type { Cell, Chart, Phase } from '../../port/chart.ts'
import { INPUTS, PINS } from '../../port/pins.ts'
import type { Input, Level, Pin } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import type { Profile } from '../../profile/schema.ts'
import { SWEEP_LIMITS } from '../../profile/sweep.ts'
import type { LatePhase, Sweep } from '../../profile/sweep.ts'
import { liesSomewhere } from '../../title/guessed-times.ts'
import { mapSteps } from '../../title/map-steps.ts'
import type { StepAt } from '../../title/map-steps.ts'
import { samplesAt } from '../../title/place-of-sample.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { PlainStep, SampleStep, Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import { explored } from '../explored.ts'
import { isRight } from '../judgement.ts'
import type { CabledAdapter } from '../judgement.ts'
import { judge } from '../judge.ts'
import { levelOf, rowOf } from '../reach/counting.ts'

/**
 * When a title samples, found out by a reply that comes late, and later step by step while an input is held: as long as the reply is
 * there before the sample, the input acts. So the steps in which it acts are counted on screen. One input stands in one phase on one pin and nowhere else, where
 * one sample of the title meets it and no other takes that pin for it.
 */

/** Something to hold while a late reply is in the adapter, and to count. */
export interface LateQuestion {
  readonly at: StepAt
  readonly pin: Pin
  /** What the title takes the pin for, which is what is held. */
  readonly input: Input
  readonly profile: Profile
  readonly sweep: Sweep
  /** What the reply takes beyond what it is late by, from the write of select on. */
  readonly replyNs: RangeNs
  /** The next edge comes so soon that replies cannot be late enough to bracket the sample from above. */
  readonly isCutOff: boolean
}

/** In how many steps the input acted throughout, and in how many at all. */
export interface Counted {
  readonly steady: number
  readonly any: number
}

/** Why counts tell nothing: the input never acted, or they do not go with one another or with what was known. */
export type CountFault = 'never' | 'contradicting'

/** One step of a sweep, in ms: long enough to be seen and counted. */
const STEP = { onMs: 500, offMs: 500 } as const
/** Nobody counts further without a mistake. */
const MOST_STEPS = 24
/** Finer than this is below what the reply itself leaves open. */
const FINEST_NS = 48
/** Steps that counting leaves open at best: the one in which it stops, and one either side. */
const LEFT_OPEN = 4
/** One count settles nothing. */
const LEAST_COUNTS = 2
/** How much two counts of the same may differ: a step at the very edge. */
const SLACK = 1

const { cycleNs, minLateNs, maxLateNs } = SWEEP_LIMITS
const down = (ns: number): number => Math.floor(ns / cycleNs) * cycleNs
const up = (ns: number): number => Math.ceil(ns / cycleNs) * cycleNs

const lateIn = ({ firstNs, stepNs }: Sweep, step: number): number => firstNs + stepNs * step

/** A sample of the file with the write of select that it counts from, and the time from that write to the next one. */
interface Timed {
  readonly at: StepAt
  readonly step: SampleStep
  readonly untilNextNs: number
  /** From that write to the edge, which a pull-up brings late. */
  readonly riseNs: RangeNs
}

const AT_ONCE: RangeNs = { minNs: 0, maxNs: 0 }

/** Samples of which it is not known when they come, and that count from an edge; those of repeats, or behind other samples, are left to others. */
function timedSamples({ modes, rise }: Title): Timed[] {
  return modes.flatMap(({ reads }, mode) =>
    reads.flatMap(({ steps }, read) => {
      const plain = steps.filter((step): step is PlainStep => !('repeat' in step))
      if (plain.length < steps.length) return []
      return plain.flatMap((step, k): Timed[] => {
        if (!('sample' in step) || !liesSomewhere(step.after.source) || step.after.minNs === step.after.maxNs)
          return []
        const edge = plain.findLastIndex((one, before) => before < k && 'select' in one)
        if (edge < 0 || (step.since === 'step' && edge !== k - 1) || !isEdge(plain, edge)) return []
        const riseNs = comesLater(plain[edge]) && rise !== null ? rise : AT_ONCE
        return [
          { at: { mode, read, step: k, inner: null }, step, untilNextNs: nextEdgeNs(plain, edge), riseNs },
        ]
      })
    }),
  )
}

/** Whether select comes up some time after it is written, and the title does not wait for that. */
const comesLater = (step: PlainStep | undefined): boolean =>
  step !== undefined && 'select' in step && step.select === 'release' && !step.waits

/** Whether a write moves select whatever pad is there: replies count from edges, and a write without an edge brings none. */
function isEdge(steps: readonly PlainStep[], at: number): boolean {
  const writes = steps.slice(0, at + 1).filter((step) => 'select' in step)
  const isLow = writes.map(({ select }) => select === 'low')
  return writes.every(({ when }) => when !== 'three-buttons') && isLow.at(-1) !== isLow.at(-2)
}

/** The least time from a write of select to the next one of the read. */
function nextEdgeNs(steps: readonly PlainStep[], edge: number): number {
  let ns = 0
  for (const { after, since, ...step } of steps.slice(edge + 1)) {
    ns = since === 'edge' ? after.minNs : ns + after.minNs
    if ('select' in step) return ns
  }
  return Infinity
}

const before = ({ row, level }: LatePhase): LatePhase | null =>
  level === 'low' ? { row, level: 'high' } : row === 0 ? null : { row: row - 1, level: 'low' }

/** The replies of a six-button pad with one input in one cell and nowhere else; `null` where that cell has to tell six buttons, or stale pins would press it. */
function chartFor(phase: LatePhase, pin: Pin, input: Input): Chart | null {
  const { cycles, after } = SIX_BUTTON_CHART
  const cellAt = (at: LatePhase): Cell | undefined => cycles[at.row]?.[at.level][pin]
  const stale = before(phase)
  if (stale === null || after.kind !== 'stay' || cellAt(phase) === undefined) return null
  if (cellAt(phase) === 'low' || cellAt(stale) === 'low') return null
  const without = (row: number | null, level: Level, cells: Phase): Phase =>
    Object.fromEntries(
      PINS.map((one) => {
        const isIt = one === pin && row === phase.row && level === phase.level
        return [one, isIt ? input : cells[one] === input ? 'high' : cells[one]]
      }),
    ) as Record<Pin, Cell>
  return {
    cycles: cycles.map(({ high, low }, row) => ({
      high: without(row, 'high', high),
      low: without(row, 'low', low),
    })),
    after: {
      kind: 'stay',
      reply: { high: without(null, 'high', after.reply.high), low: without(null, 'low', after.reply.low) },
    },
  }
}

/** What is put into the adapter to time a sample by a pin of it; `null` where it would not tell that sample from others. */
function questionAbout(
  title: Title,
  { at, step, untilNextNs, riseNs }: Timed,
  pin: Pin,
  present: Profile,
  adapter: CabledAdapter,
): LateQuestion | null {
  const input = step.sample[pin]
  const own = samplesAt(title, at)
  const { samples: taken } = scheduleOf(title)
  const place = taken[own[0] ?? -1]?.place
  if (typeof input !== 'string' || own.length !== 1 || place === undefined) return null
  const phase = { row: place.cycle - 1, level: place.level }
  const chart = chartFor(phase, pin, input)
  if (chart === null) return null
  const mapping = INPUTS.every((one) => present.mapping[one].length > 0)
    ? present.mapping
    : BUILT_IN_PROFILES['six-button'].mapping
  const profile: Profile = {
    ...BUILT_IN_PROFILES['six-button'],
    sticks: present.sticks,
    mapping,
    chart,
    idleResetNs: present.idleResetNs,
  }
  const box = boxOf(profile, title, adapter)
  const replyNs = { minNs: box.reply.minNs + riseNs.minNs, maxNs: box.reply.maxNs + riseNs.maxNs }
  const sweep = sweepFor(step.after, replyNs, phase, input, untilNextNs)
  if (sweep === null) return null
  const isAt = (where: LatePhase | null, code: number): boolean =>
    where !== null && rowOf(code) === where.row && levelOf(code) === where.level
  const met = explored(title, chart, box).samples.filter(({ awayNs }) => awayNs === 0)
  const codesOf = (k: number) => met.flatMap(({ sample, code }) => (sample.uses.includes(k) ? [code] : []))
  // A sample that may come before the reply may meet what stood before; that presses nothing.
  const ownCodes = codesOf(own[0] as number)
  const isItsOwn =
    ownCodes.some((code) => isAt(phase, code)) &&
    ownCodes.every((code) => isAt(phase, code) || isAt(before(phase), code))
  const isAlone = taken.every(
    (other, k) =>
      own.includes(k) || other.pins[pin] !== input || !codesOf(k).some((code) => isAt(phase, code)),
  )
  if (!isItsOwn || !isAlone) return null
  const isCutOff = lateIn(sweep, sweep.steps - 1) + replyNs.minNs < step.after.maxNs
  return { at, pin, input, profile, sweep, replyNs, isCutOff }
}

/** From where the input acts for certain, as far as a reply can be so soon, to where it cannot any more, or as far as the next edge lets it. */
function sweepFor(
  { minNs, maxNs }: RangeNs,
  reply: RangeNs,
  phase: LatePhase,
  input: Input,
  untilNextNs: number,
): Sweep | null {
  const firstNs = Math.max(minLateNs, down(minNs - reply.maxNs))
  const lastNs = Math.min(up(maxNs - reply.minNs), down(untilNextNs - reply.maxNs - 2 * cycleNs), maxLateNs)
  // What the reply leaves open by itself cannot be told.
  if (lastNs <= firstNs || maxNs - minNs <= reply.maxNs - reply.minNs + LEFT_OPEN * FINEST_NS) return null
  const stepNs = Math.max(FINEST_NS, up((lastNs - firstNs) / (MOST_STEPS - 1)))
  const goesOn = lastNs + stepNs <= Math.min(untilNextNs - reply.maxNs, maxLateNs)
  const steps = Math.min(MOST_STEPS, Math.floor((lastNs - firstNs) / stepNs) + (goesOn ? 2 : 1))
  return steps < 2 ? null : { input, phases: [phase], firstNs, stepNs, steps, ...STEP }
}

const withTime = (title: Title, at: StepAt, after: PlainStep['after']): Title =>
  mapSteps(title, (step, here) =>
    here.mode === at.mode && here.read === at.read && here.step === at.step && here.inner === at.inner
      ? { ...step, after }
      : step,
  )

/** Whether a verdict turns on where in its range a sample lies. */
function matters(
  title: Title,
  { at, step }: Timed,
  present: Profile,
  adapter: CabledAdapter,
  marginNs: number,
): boolean {
  const verdicts = [step.after.minNs, step.after.maxNs].map((ns) =>
    isRight(
      judge(present, withTime(title, at, { ...step.after, minNs: ns, maxNs: ns }), { adapter, marginNs }),
    ),
  )
  return verdicts[0] !== verdicts[1]
}

/** What to time next, with a title that leaves nothing else open; `null` where no verdict turns on a guessed time that can be told. */
export function nextLateQuestion(
  title: Title,
  present: Profile,
  adapter: CabledAdapter,
  marginNs: number,
): LateQuestion | null {
  for (const timed of timedSamples(title)) {
    if (!matters(title, timed, present, adapter, marginNs)) continue
    for (const pin of PINS) {
      const question = questionAbout(title, timed, pin, present, adapter)
      if (question !== null) return question
    }
  }
  return null
}

/** The question that a file of answers names by the step and the pin; `undefined` where the title asks no such thing. */
export function lateQuestionAt(
  title: Title,
  at: StepAt,
  pin: Pin,
  present: Profile,
  adapter: CabledAdapter,
): LateQuestion | null {
  const timed = timedSamples(title).find(
    ({ at: one }) => one.mode === at.mode && one.read === at.read && one.step === at.step,
  )
  return timed ? questionAbout(title, timed, pin, present, adapter) : null
}

/** Whether there are counts enough to go by. */
export const isCounted = (counts: readonly Counted[]): boolean => counts.length >= LEAST_COUNTS

/**
 * The title with the time of the sample as the counts leave it: it comes no sooner than replies that it met throughout, and no later than those that it
 * never met, with steps to spare for what nobody can see. Counts that differ by a step bracket both.
 */
export function timedBy(
  title: Title,
  question: LateQuestion,
  counts: readonly Counted[],
): Result<Title, CountFault> {
  const { at, sweep, replyNs } = question
  const step = title.modes[at.mode]?.reads[at.read]?.steps[at.step]
  if (step === undefined || 'repeat' in step || !isCounted(counts)) return ok(title)
  const steady = counts.map((one) => one.steady)
  const any = counts.map((one) => one.any)
  const [least, most] = [Math.min(...steady), Math.max(...any)]
  if (most === 0) return err('never')
  const spread = Math.max(Math.max(...steady) - least, most - Math.min(...any))
  if (spread > SLACK || counts.some((one) => one.steady > one.any)) return err('contradicting')
  // A rare frame is not seen on screen: a step either side, or as many as it flickers.
  const spare = Math.max(1, most - least)
  const soonestNs = least === 0 ? 0 : replyNs.minNs + lateIn(sweep, least - 1 - spare)
  const minNs = Math.max(step.after.minNs, soonestNs)
  const maxNs =
    most < sweep.steps
      ? Math.min(step.after.maxNs, replyNs.maxNs + lateIn(sweep, most + spare))
      : step.after.maxNs
  // It acted where the reply comes after all that the range allows: then the range is not so, and nothing within it is known.
  const isBeyond = replyNs.minNs + lateIn(sweep, least - 1) > step.after.maxNs
  if (isBeyond || minNs > maxNs) return err('contradicting')
  return ok(
    withTime(title, at, { ...step.after, minNs, maxNs, source: { kind: 'found', trials: counts.length } }),
  )
}
