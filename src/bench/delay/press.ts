import { frameNs } from '../../port/clocks.ts'
import { INPUTS } from '../../port/pins.ts'
import type { Input } from '../../port/pins.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { middleCorner } from '../corners.ts'
import type { StatedAdapter } from '../judgement.ts'
import { middleJitterNs, play } from '../repeat/play-repeat.ts'
import type { InputSample } from '../repeat/play-repeat.ts'
import { inputWord } from '../../port/input-texts.ts'
import { delayBudget } from './budget.ts'
import type { DelayBudget, Stage } from './budget.ts'
import { even } from './law.ts'
import { waitForFrame, waitForSample } from './wait.ts'

/** Report intervals that a pad may ask for. Source: USB 2.0 §9.6.6, bInterval of a full-speed interrupt endpoint, 1 to 255 frames of 1 ms. */
export const PAD_INTERVALS_MS = { min: 1, max: 255 } as const

/** The longest of the usual report intervals, 1, 4 and 8 ms (common practice, no source). */
export const DEFAULT_PAD_INTERVAL_MS = 8

/** From a report of the pad to the pins, at most; what the adapter is built to keep. */
export const REPORT_TO_PINS_NS = 50_000

export interface PressDelayOptions {
  readonly adapter: StatedAdapter
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
  const found = tellingSamples(profile, title, adapter, wanted)
  if (found === null) return err(notSeen(title, wanted))
  const { input, frames } = found
  const lengthNs = frameNs(title.standard)
  const intervalNs = padIntervalMs * 1_000_000

  const hand: Stage[] = [
    { what: 'the pad scans its buttons', law: even(0, intervalNs) },
    { what: 'the pad’s next report', law: even(0, intervalNs) },
    { what: 'the adapter, from report to pins', law: even(0, REPORT_TO_PINS_NS) },
  ]
  const samples = frames.map((frame) =>
    frame.map(({ atNs, read }) => ({ atNs: atNs - middleJitterNs(title), read })),
  )
  const toSample = {
    what: `the title’s next sample of ${inputWord(input)}`,
    law: waitForSample(samples, lengthNs, title.readJitterNs),
  }
  const toFrame = {
    what: 'that sample and the next frame',
    law: waitForFrame(samples, lengthNs, title.readJitterNs),
  }
  return ok({
    input,
    padIntervalMs,
    samplesPerFrame: samples.flat().length / samples.length,
    toSample: delayBudget([...hand, toSample]),
    toFrame: delayBudget([...hand, toFrame]),
    assumptions: assumptionsOf(profile, input),
  })
}

function assumptionsOf(profile: Profile, input: Input): string[] {
  const all = [
    'The finger, the pad, and the console know nothing of each other’s clocks: every moment is equally likely.',
    'How often the pad scans its buttons is unknown: once a report is taken, and the pad is asked as often as it wishes.',
    'The title shows a press in the frame after the sample; one that takes longer adds whole frames. The screen’s own delay comes on top.',
    'The console’s clock runs as its standard says.',
  ]
  if (profile.repeat[input] !== undefined)
    all.push(
      'The steady repeat is left out: a press that comes just before an idle reset may lose a read by it.',
    )
  return all
}

function notSeen(title: Title, wanted: Input | undefined): string {
  if (wanted === undefined)
    return `${title.name} sees no press with this profile; check the two against each other first`
  return `${title.name} never sees ${inputWord(wanted)} pressed with this profile; choose an input that it reads`
}

/** The samples, frame by frame of the pattern, at which a press shows: released without it, pressed with it. */
function tellingSamples(
  profile: Profile,
  title: Title,
  adapter: StatedAdapter,
  wanted: Input | undefined,
): { input: Input; frames: readonly (readonly InputSample[])[] } | null {
  const corner = middleCorner(profile, title, adapter)
  const steady: Profile = { ...profile, repeat: {} }
  for (const input of wanted === undefined ? INPUTS : [wanted]) {
    const held = play(steady, title, corner, input, { afterResets: 0 })
    const free = play(steady, title, corner, input, null)
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
