import { frameHz } from '../../port/clocks.ts'
import type { Input } from '../../port/pins.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Profile, Repeat } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import type { CabledAdapter } from '../judgement.ts'
import { courseOf } from '../play/course.ts'
import { frameOf } from '../play/rounds.ts'
import type { Rounds } from '../play/rounds.ts'
import { middleTiming } from '../play/timing.ts'
import { inputsReadBy } from '../../title/inputs-read.ts'
import { modeWords } from '../../title/mode-words.ts'
import { isTiedToFrames } from '../../title/reads-of-frame.ts'
import { inputWord } from '../../port/input-texts.ts'
import { playRepeat } from './play-repeat.ts'
import type { PlayedFrame } from './play-repeat.ts'
import { seenTexts } from './repeat-texts.ts'

/** A steady repeat as a profile asks for it, in reads as the adapter counts them: one from idle reset to idle reset. */
export type Rate = Omit<Extract<Repeat, { kind: 'reads' }>, 'kind'>

/**
 * The rate of an input's steady repeat, where it is counted in reads. A repeat in ms goes by the adapter's own clock, with which no title's reads keep
 * step: it is not judged.
 */
export function rateInReads(profile: Profile, input: Input): Rate | null {
  const repeat = profile.repeat[input]
  return repeat?.kind === 'reads' ? repeat : null
}

/**
 * What a title sees of a steady repeat, once all is settled.
 * - `as-asked`: pressed and released as if the repeat moved on with each of the title's reads
 * - `other-rate`: even, and pressed for the share that was asked for, but faster or slower
 * - `other-share`: even, but pressed for another share of the samples
 * - `uneven`: presses, or the pauses between them, are not all equally long
 * - `same-each-frame`: some samples of a frame are pressed and some are not, the same ones in every frame; a title that goes by
 *   one of them sees no change
 * - `always-pressed`, `never-pressed`: the repeat is lost
 * - `not-looked-at`: the title does not look at the input in such reads
 */
export type MomentFinding =
  | 'as-asked'
  | 'other-rate'
  | 'other-share'
  | 'uneven'
  | 'same-each-frame'
  | 'always-pressed'
  | 'never-pressed'
  | 'not-looked-at'

/** `by-moment`: it hangs on the moment of the press which of several pictures is seen. */
export type RepeatFinding = MomentFinding | 'by-moment'

/** What is seen after a press at one moment. */
export interface MomentSeen {
  /** Idle resets between power-on and the press. */
  readonly afterResets: number
  readonly finding: MomentFinding
  /** Frames until the picture comes again, and what happens in them. */
  readonly periodFrames: number
  readonly samples: number
  readonly pressedSamples: number
  /** Times that the title sees the input go from released to pressed. */
  readonly presses: number
  readonly sameEachFrame: boolean
  /** In some read the samples do not agree; a repeat that moves on between reads does not bring that about. */
  readonly splitReads: boolean
  readonly resets: number
  readonly pressesHz: number
  readonly played: Rounds<PlayedFrame>
}

export interface RepeatSeen {
  readonly input: Input
  /** The mode that is played, within a sentence; `null` where the title has no other. */
  readonly mode: string | null
  readonly rate: Rate
  readonly finding: RepeatFinding
  /** Presses a second, if the repeat moved on with each of the title's reads. */
  readonly askedHz: number
  /** Reads that the title makes in a frame, and those that the adapter counts: idle resets over frames. */
  readonly titleReadsPerFrame: number
  readonly countedReadsPerFrame: number
  /** One for each picture that differs, the press at power-on first. */
  readonly moments: readonly MomentSeen[]
}

const withRate = (profile: Profile, input: Input, rate: Rate): Profile => ({
  ...profile,
  repeat: {
    ...profile.repeat,
    [input]: { kind: 'reads', pressedReads: rate.pressedReads, releasedReads: rate.releasedReads },
  },
})

/** Frames that are shown one by one: about half a second. */
export const SHOWN_FRAMES = 32

/**
 * The samples of a title at an input in the first `frames` frames, held from power-on, all times in the middle of their ranges. Its repeat, if it has
 * one, counts reads.
 */
export function seenByFrame(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  input: Input,
  frames: number,
): readonly PlayedFrame[] {
  const timing = middleTiming(boxOf(profile, title, adapter))
  const course = courseOf(profile, title, adapter)
  const played = playRepeat(profile, title, timing, input, { afterResets: 0 }, course)
  return Array.from({ length: frames }, (_, k) => frameOf(played, k))
}

/**
 * What a title sees of a steady repeat, all times in the middle of their ranges, whenever the press comes.
 *
 * The error is a sentence.
 */
export function seenAtRate(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  input: Input,
  rate: Rate,
): Result<RepeatSeen, string> {
  if (!inputsReadBy(title).includes(input))
    return err(seenTexts.neverSamples({ title: title.name, input: inputWord(input) }))
  const timing = middleTiming(boxOf(profile, title, adapter))
  const repeating = withRate(profile, input, rate)
  const course = courseOf(profile, title, adapter)
  const mode = modeWords(title, course.mode)
  if (!isTiedToFrames(title, course.mode))
    return err(
      seenTexts.notTied({ modes: mode === null ? 'one' : 'several', title: title.name, mode: mode ?? '' }),
    )
  const idle = playRepeat(repeating, title, timing, input, null, course)
  const frames = idle.frames.slice(idle.lead)
  const titleReadsPerFrame = readsPerFrame(idle)
  const askedPerFrame = titleReadsPerFrame / (rate.pressedReads + rate.releasedReads)

  const moments = pressMoments(idle, rate).map((afterResets) =>
    momentSeen(
      playRepeat(repeating, title, timing, input, { afterResets }, course),
      afterResets,
      title,
      rate,
    ),
  )
  const pictures = moments.filter(
    (moment, k) => moments.findIndex((other) => samePicture(moment, other)) === k,
  )
  const first = pictures[0] as MomentSeen
  return ok({
    input,
    mode,
    rate,
    finding: pictures.length === 1 ? first.finding : 'by-moment',
    askedHz: askedPerFrame * frameHz(title.standard),
    titleReadsPerFrame,
    countedReadsPerFrame: resetsIn(frames) / frames.length,
    moments: pictures,
  })
}

const resetsIn = (frames: readonly PlayedFrame[]): number =>
  frames.reduce((sum, { resets }) => sum + resets, 0)

/**
 * The presses to try, by the idle resets before them. What is seen in the end hangs on how many idle resets lie between the press and a frame; a
 * period of frames moves that on by its own resets, so that only the remainder by the greatest common divisor tells presses apart.
 */
function pressMoments(
  { lead, frames }: Rounds<PlayedFrame>,
  { pressedReads, releasedReads }: Rate,
): number[] {
  const perPeriod = resetsIn(frames.slice(lead))
  // Without a reset the repeat never moves on, whenever the press comes.
  if (perPeriod === 0) return [0]
  const count = greatestCommonDivisor(perPeriod, pressedReads + releasedReads)
  return Array.from({ length: count }, (_, k) => k)
}

const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b)

function momentSeen(played: Rounds<PlayedFrame>, afterResets: number, title: Title, rate: Rate): MomentSeen {
  const frames = played.frames.slice(played.lead)
  const samples = frames.flatMap((frame) => frame.samples.map(({ pressed }) => pressed))
  const runs = runsOf(samples)
  const facts = {
    periodFrames: played.period,
    samples: samples.length,
    pressedSamples: samples.filter((pressed) => pressed).length,
    presses: runs.pressed.length,
    sameEachFrame: new Set(frames.map(pictureOf)).size === 1,
    splitReads: frames.some(isSplit),
  }
  return {
    afterResets,
    finding: findingOf(facts, runs, readsPerFrame(played), rate),
    ...facts,
    resets: resetsIn(frames),
    pressesHz: (facts.presses / played.period) * frameHz(title.standard),
    played,
  }
}

type Facts = Pick<MomentSeen, 'periodFrames' | 'samples' | 'pressedSamples' | 'presses' | 'sameEachFrame'>

/** In whole numbers throughout, so that no rate is right or wrong by rounding. */
function findingOf(
  facts: Facts,
  runs: Runs,
  perFrame: number,
  { pressedReads, releasedReads }: Rate,
): MomentFinding {
  const { periodFrames, samples, pressedSamples, presses } = facts
  if (samples === 0) return 'not-looked-at'
  if (pressedSamples === samples) return 'always-pressed'
  if (pressedSamples === 0) return 'never-pressed'
  if (facts.sameEachFrame) return 'same-each-frame'
  if (new Set(runs.pressed).size > 1 || new Set(runs.released).size > 1) return 'uneven'
  const both = pressedReads + releasedReads
  if (pressedSamples * both !== samples * pressedReads) return 'other-share'
  return presses * both === periodFrames * perFrame ? 'as-asked' : 'other-rate'
}

/** On average over the frames that come again, whole where every frame has as many. */
const readsPerFrame = ({ lead, frames }: Rounds<PlayedFrame>): number => {
  const again = frames.slice(lead)
  return again.reduce((sum, { reads }) => sum + reads, 0) / again.length
}

const isSplit = ({ samples }: PlayedFrame): boolean =>
  samples.some(
    (sample, k) => sample.read === samples[k - 1]?.read && sample.pressed !== samples[k - 1]?.pressed,
  )

const pictureOf = ({ samples }: PlayedFrame): string =>
  samples.map(({ pressed }) => (pressed ? '#' : '.')).join('')

/** Lengths of what is seen without a change, in samples. */
interface Runs {
  readonly pressed: readonly number[]
  readonly released: readonly number[]
}

/** Runs in samples that come round and round. Without any change there are none. */
function runsOf(samples: readonly boolean[]): Runs {
  const runs = { pressed: [] as number[], released: [] as number[] }
  const start = samples.findIndex((pressed, k) => pressed !== samples.at(k - 1))
  if (start === -1) return runs
  let length = 0
  for (let k = 0; k < samples.length; k++) {
    const at = (start + k) % samples.length
    length += 1
    if (samples[at] === samples[(at + 1) % samples.length]) continue
    ;(samples[at] === true ? runs.pressed : runs.released).push(length)
    length = 0
  }
  return runs
}

/** Two pictures are one for the player when they only begin elsewhere. */
const samePicture = (p: MomentSeen, q: MomentSeen): boolean =>
  p.finding === q.finding &&
  p.pressedSamples * q.samples === q.pressedSamples * p.samples &&
  p.presses * q.periodFrames === q.presses * p.periodFrames
