import { frameNs } from '../../port/clocks.ts'
import { INPUTS } from '../../port/pins.ts'
import type { Input } from '../../port/pins.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import type { CabledAdapter } from '../judgement.ts'
import { middleNs, middleTiming } from '../play/timing.ts'
import { playRepeat } from '../repeat/play-repeat.ts'
import { isTiedToFrames, latenessOf } from '../../title/reads-of-frame.ts'
import { courseOf } from '../play/course.ts'
import type { Course } from '../play/player.ts'
import type { InputSample } from '../repeat/play-repeat.ts'
import { inputWord } from '../../port/input-texts.ts'
import { delayBudget } from './budget.ts'
import type { DelayBudget, Stage } from './budget.ts'
import { assumptionTexts, latencyTexts as t } from './delay-texts.ts'
import { even } from './law.ts'
import { waitForFrame, waitForSample } from './wait.ts'

/** Report intervals that a pad may ask for. Source: USB 2.0 §9.6.6, bInterval of a full-speed interrupt endpoint, 1 to 255 frames of 1 ms. */
export const PAD_INTERVALS_MS = { min: 1, max: 255 } as const

/** The longest of the usual report intervals, 1, 4 and 8 ms (common practice, no source). */
export const DEFAULT_PAD_INTERVAL_MS = 8

/** From a report of the pad to the pins, at most; what the adapter is built to keep. */
export const REPORT_TO_PINS_NS = 50_000

export interface PressDelayOptions {
  readonly adapter: CabledAdapter
  /** Whole ms from one report of the pad to the next. */
  readonly padIntervalMs: number
  /** Without it, the first input whose press the title sees. */
  readonly input?: Input
}

export interface PressDelay {
  readonly input: Input
  readonly padIntervalMs: number
  /** Samples in a frame that tell the press, on average over the frames of the pattern. */
  readonly samplesPerFrame: number
  /** From the finger to the title's sample. */
  readonly toSample: DelayBudget
  /** From the finger to the beginning of the frame after that sample, the first that can show it. */
  readonly toFrame: DelayBudget
  /** What the figures take for granted, a sentence each. */
  readonly assumptions: readonly string[]
}

/**
 * The delay from the finger to the title, part by part. The error is a sentence.
 */
export function pressDelay(
  profile: Profile,
  title: Title,
  { adapter, padIntervalMs, input: wanted }: PressDelayOptions,
): Result<PressDelay, string> {
  const course = courseOf(profile, title, adapter)
  if (!isTiedToFrames(title, course.mode)) return err(assumptionTexts.notTied({ title: title.name }))
  const found = tellingSamples(profile, title, adapter, course, wanted)
  if (found === null) return err(notSeen(title, wanted))
  const { input, frames } = found
  const lengthNs = frameNs(title.standard)
  const intervalNs = padIntervalMs * 1_000_000

  const hand: Stage[] = [
    { what: t.scan, law: even(0, intervalNs) },
    { what: t.report, law: even(0, intervalNs) },
    { what: t.adapter, law: even(0, REPORT_TO_PINS_NS) },
  ]
  // As if each read began at its place: what is late of it is part of the waits.
  const late = latenessOf(title, course.mode)
  const lateNs = middleNs(late) - late.minNs
  const jitterNs = late.maxNs - late.minNs
  const samples = frames.map((frame) => frame.map(({ atNs, read }) => ({ atNs: atNs - lateNs, read })))
  const toSample = {
    what: t.sample({ input: inputWord(input) }),
    law: waitForSample(samples, lengthNs, jitterNs),
  }
  const toFrame = {
    what: t.frame,
    law: waitForFrame(samples, lengthNs, jitterNs),
  }
  return ok({
    input,
    padIntervalMs,
    samplesPerFrame: samples.flat().length / samples.length,
    toSample: delayBudget([...hand, toSample]),
    toFrame: delayBudget([...hand, toFrame]),
    assumptions: assumptionsOf(profile, title, input),
  })
}

const assumptionsOf = (profile: Profile, title: Title, input: Input): string[] => [
  assumptionTexts.clocks,
  assumptionTexts.scans,
  assumptionTexts.shows,
  assumptionTexts.standard,
  ...modeAssumption(title),
  ...(profile.repeat[input] === undefined ? [] : [assumptionTexts.repeat]),
]

/** Which mode is played, where there are several. */
const modeAssumption = ({ modes }: Title): string[] => {
  const name = modes.at(-1)?.name
  return modes.length === 1 ? [] : [assumptionTexts.mode({ named: name !== undefined, mode: name ?? '' })]
}

const notSeen = (title: Title, wanted: Input | undefined): string =>
  wanted === undefined
    ? assumptionTexts.seesNone({ title: title.name })
    : assumptionTexts.neverSees({ title: title.name, input: inputWord(wanted) })

/** The samples, frame by frame of the pattern, at which a press shows: released without it, pressed with it. */
function tellingSamples(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  course: Course,
  wanted: Input | undefined,
): { input: Input; frames: readonly (readonly InputSample[])[] } | null {
  const timing = middleTiming(boxOf(profile, title, adapter))
  const steady: Profile = { ...profile, repeat: {} }
  for (const input of wanted === undefined ? INPUTS : [wanted]) {
    const held = playRepeat(steady, title, timing, input, { afterResets: 0 }, course)
    const free = playRepeat(steady, title, timing, input, null, course)
    const frames = held.frames.map(({ samples }, k) => {
      const without = free.frames[k]?.samples ?? []
      return samples.filter(
        (sample) =>
          sample.pressed &&
          !without.some(
            (other) => other.pressed && other.read === sample.read && other.index === sample.index,
          ),
      )
    })
    const pattern = frames.slice(held.lead)
    if (pattern.some((samples) => samples.length > 0)) return { input, frames: pattern }
  }
  return null
}
