import type { VideoStandard } from '../../port/clocks.ts'
import { VIDEO_STANDARDS, frameNs } from '../../port/clocks.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { Slope } from './slope.ts'

/** The time after which reads come again, and what it says about the video signal. */
export interface Period {
  /** Not rounded. */
  readonly ns: number
  /** The standard that it fits; nothing where it fits neither. */
  readonly standard: VideoStandard | null
  /** How many frames of that standard it lasts: more than one where a title reads every so many frames only. */
  readonly frames: number
}

/**
 * How far two times from a read to the next of its place may lie apart: each may be short or long by what a read may begin late.
 * Edge spacing comes on top.
 */
const PLACE_NS = 2 * TITLE_LIMITS.maxReadJitterNs + 200_000
const MAX_CLOCK = TITLE_LIMITS.maxClockPpm / 1e6
/** A title that reads more seldom than every fourth frame is not looked for. */
const MOST_FRAMES = 4
/** Below these, so many reads miss the period that it is none. */
const LEAST_SHARE = 0.5
const LEAST_SHARE_OF_NEITHER = 0.6
const NEARLY = 0.02
/** So many frames may be skipped in a row as a rule, if this share of them is not. */
const MOST_PERIODS = 3
const LEAST_SINGLE = 0.1
/** What passes for a frame of neither standard. */
const FRAME_OF_NEITHER_NS = { min: 8_000_000, max: 60_000_000 }

/** Every `step`-th read follows after a period, or a whole number of them, for this share of the reads. */
interface Step {
  readonly step: number
  readonly periodNs: number
  readonly share: number
}

/**
 * Finds the time after which reads come again. It has to be the time from each read to the `n`-th after it, where `n` is the
 * number of reads in a frame; the right `n` is the one for which that time varies least.
 *
 * @param startsNs first edges of reads, ascending
 */
export function findPeriod(startsNs: Float64Array): Period | null {
  const steps: Step[] = []
  for (let step = 1; step <= TITLE_LIMITS.readsPerFrame && step < startsNs.length; step++) {
    steps.push(...takeStep(startsNs, step))
  }
  const most = (some: readonly Step[]) => Math.max(...some.map(({ share }) => share))
  const shortest = steps.find(({ share }) => share >= most(steps) - NEARLY)
  if (shortest === undefined) return null
  for (let frames = 1; frames <= MOST_FRAMES; frames++) {
    // Several reads in one frame are usual. Several in several frames would make a standard of almost any period.
    const near = (frames === 1 ? steps : [shortest]).filter(
      ({ periodNs }) => nearest(periodNs / frames, PLACE_NS / frames) !== null,
    )
    const best = Math.max(LEAST_SHARE, most(near) - NEARLY)
    const [closest] = near
      .filter(({ share }) => share >= best)
      .flatMap((step) => fit(startsNs, step, frames))
      .sort((one, other) => one.off - other.off)
    if (closest !== undefined) return closest.period
  }
  const ns = slope(startsNs, shortest)
  const isFrame = ns >= FRAME_OF_NEITHER_NS.min && ns <= FRAME_OF_NEITHER_NS.max
  return isFrame && shortest.share >= LEAST_SHARE_OF_NEITHER ? { ns, standard: null, frames: 1 } : null
}

/** The exact period of a step as so many frames of a standard, and how far off it is; nothing where it fits none. */
function fit(startsNs: Float64Array, step: Step, frames: number): { period: Period; off: number }[] {
  const ns = slope(startsNs, step)
  // A few frames with late reads do not tell the clock well; what they leave open is no reason to refuse.
  const openNs = PLACE_NS / Math.max(1, startsNs.length / step.step - 1)
  const standard = nearest(ns / frames, openNs / frames)
  if (standard === null) return []
  return [{ period: { ns, standard, frames }, off: Math.abs(ns / frames / frameNs(standard) - 1) }]
}

/** The standard whose frame this is, give or take a clock's tolerance and `openNs`. */
function nearest(ns: number, openNs: number): VideoStandard | null {
  const off = (standard: VideoStandard) => Math.abs(ns - frameNs(standard))
  const [first, second] = VIDEO_STANDARDS
  const standard = off(first) <= off(second) ? first : second
  return off(standard) <= MAX_CLOCK * frameNs(standard) + openNs ? standard : null
}

/** How many periods a length is, more than one where frames are skipped; nothing where it is no whole number of them. */
function wholePeriods(lengthNs: number, periodNs: number): number | null {
  const periods = Math.round(lengthNs / periodNs)
  // Less for short times, or everything would be regular.
  const placeNs = Math.min(PLACE_NS, periodNs / 8)
  return periods >= 1 && Math.abs(lengthNs - periods * periodNs) <= placeNs ? periods : null
}

/** The period is the middle one of all lengths, or a part of it, if so many frames are skipped that the middle one is several. */
function takeStep(startsNs: Float64Array, step: number): Step[] {
  const lengthsNs = startsNs.slice(step).map((ns, k) => ns - (startsNs[k] ?? 0))
  const medianNs = lengthsNs.slice().sort()[lengthsNs.length >> 1] ?? 0
  const taken: Step[] = []
  for (let part = 1; part <= MOST_PERIODS; part++) {
    const periodNs = medianNs / part
    let single = 0
    let regular = 0
    for (const lengthNs of lengthsNs) {
      const periods = wholePeriods(lengthNs, periodNs)
      if (periods !== null) regular++
      if (periods === 1) single++
    }
    if (single >= LEAST_SINGLE * lengthsNs.length)
      taken.push({ step, periodNs, share: regular / lengthsNs.length })
  }
  return taken
}

/**
 * The period as the slope of the straight lines (least squares) through the reads of each place: exact to the reads' jitter over
 * the length of the whole capture. Skipped frames are stepped over; where the places shift, a new line begins.
 */
function slope(startsNs: Float64Array, { step, periodNs }: Step): number {
  const sum = new Slope()
  for (let place = 0; place < step; place++) {
    sum.startLine()
    let frame = 0
    sum.add(frame, startsNs[place] ?? 0)
    for (let k = place + step; k < startsNs.length; k += step) {
      const ns = startsNs[k] ?? 0
      const periods = wholePeriods(ns - (startsNs[k - step] ?? 0), periodNs)
      if (periods === null) sum.startLine()
      frame = periods === null ? 0 : frame + periods
      sum.add(frame, ns)
    }
  }
  return sum.value ?? periodNs
}
