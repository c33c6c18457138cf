import type { VideoStandard } from '../../port/clocks.ts'
import { frameNs } from '../../port/clocks.ts'
import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { Source } from '../evidence.ts'
import { longestReadNs, opensAfter } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import type { Starts } from '../title-of-short.ts'
import { atLeastNs } from '../tolerance.ts'
import { identificationCycle, partsOf } from '../ways-of-reading.ts'

/** What edges tell of a title. */
export interface Seen {
  readonly rest: Level
  readonly standard: VideoStandard
  /** After so many frames its reads come again. */
  readonly everyFrames: number
  /** From the first read of the frame, as the standard's own clock would have them. */
  readonly offsetsNs: readonly number[]
  readonly lateNs: number
  readonly ppm: number
  /** Of each read of the frame. */
  readonly shapes: readonly Shape[]
}

/** Crystals of consoles and of capture devices are good to about this much (from memory). */
const USUAL_CLOCK_PPM = 100

/**
 * Code cannot look sooner after an edge that it drives: 4 cycles of its processor (port-facts, from memory).
 * An early sample is the harder one to serve, so the guess is early rather than late.
 */
const EARLIEST_SAMPLE_NS = 521

/** When a title may sample, guessed from the edges around it: at the latest just before the next edge. */
export const guessSample = (leastSpacingNs: number): { minNs: number; maxNs: number } => ({
  minNs: Math.min(EARLIEST_SAMPLE_NS, Math.floor(leastSpacingNs / 2)),
  maxNs: leastSpacingNs - 1,
})

/**
 * How reads start that no frame ties. What a file counts from is the sample after the last edge of a read, and what it counts to is a phase before the
 * first edge, as long as any.
 */
export function startsApart(apartNs: RangeNs, shape: Shape, rest: Level, source: Source | undefined): Starts {
  const opens = opensAfter(shape, rest)
  const sampleAfterEdgeNs = guessSample(shape.edgeSpacingNs.minNs)
  const least = apartNs.minNs - opens.maxNs - sampleAfterEdgeNs.maxNs
  const most = apartNs.maxNs - opens.minNs - sampleAfterEdgeNs.minNs
  const minNs = Math.min(TITLE_LIMITS.maxGapNs, Math.max(LEAST_INTERVAL_NS, least))
  const maxNs = Math.min(TITLE_LIMITS.maxGapNs, Math.max(minNs, most))
  return { kind: 'interval', after: { minNs, maxNs, ...(source && { source }) } }
}

/** What a title file asks for from one read to the next. */
const LEAST_INTERVAL_NS = 1_000

/** Whether a title file can say that reads come as soon after one another as this. */
export const canStartApart = (apartNs: RangeNs, shape: Shape, rest: Level): boolean =>
  apartNs.minNs >=
  LEAST_INTERVAL_NS + opensAfter(shape, rest).minNs + guessSample(shape.edgeSpacingNs.minNs).minNs

/** How far off a title's clock is taken to be: as far as it was seen to be, and no less than crystals are. */
export const clockTolerance = (ppm: number): number =>
  Math.min(TITLE_LIMITS.maxClockPpm, Math.max(USUAL_CLOCK_PPM, Math.ceil(Math.abs(ppm))))

/**
 * What all reads of a title have in common. Edges do not show where the frame begins: the first read stands at 0, right after the
 * longest rest. Where reads begin so late that a title's next read could begin before this one ends (they were late together), the jitter is cut.
 */
export function commonFields({ rest, standard, everyFrames, offsetsNs, lateNs, ppm, shapes }: Seen) {
  const clockPpm = clockTolerance(ppm)
  const roomNs = offsetsNs.map((offsetNs, read) => {
    const nextNs = offsetsNs[read + 1] ?? everyFrames * frameNs(standard)
    return atLeastNs(nextNs - offsetNs, clockPpm) - longestReadNs(shapes[read] as Shape) - 1
  })
  return {
    fragile: false,
    standard,
    readOffsetsNs: offsetsNs,
    readJitterNs: Math.max(0, Math.min(lateNs, ...roomNs)),
    clockPpm,
    rest,
    drive: { kind: 'driven' as const },
    takesOpposite: true,
  }
}

/** What reads of one shape have for themselves. */
export const fieldsOfShape = ({ cyclesPerRead, edgeSpacingNs }: Shape, rest: Level) => ({
  edgeSpacingNs,
  sampleAfterEdgeNs: guessSample(edgeSpacingNs.minNs),
  ...partsOf('first', { cyclesPerRead, rest }),
})

/** The cycles in which a read would meet the identification of a six-button pad and its extra buttons, if it is long enough. */
export function sixButtonShape(
  rest: Level,
  cyclesPerRead: number,
): { identifiedInCycle: number; extraInCycle: number } | null {
  const identifiedInCycle = identificationCycle(rest)
  const extraInCycle = identifiedInCycle + 1
  return extraInCycle <= cyclesPerRead ? { identifiedInCycle, extraInCycle } : null
}
