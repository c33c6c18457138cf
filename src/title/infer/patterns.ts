import { frameNs, VIDEO_STANDARDS } from '../../port/clocks.ts'
import type { VideoStandard } from '../../port/clocks.ts'
import { err, ok } from '../../port/result.ts'
import type { RangeNs } from '../../port/range.ts'
import type { Result } from '../../port/result.ts'
import type { SelectLine } from '../select-line.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { findBursts } from './bursts.ts'
import type { Bursts } from './bursts.ts'
import type { CaptureFinding, InferFault } from './findings.ts'
import { groupFrames } from './frames.ts'
import type { Frames } from './frames.ts'
import { findPeriod } from './period.ts'
import type { Period } from './period.ts'
import { readsOf, shapeOf, shapesOfFrame } from './reads.ts'
import type { Reads } from './reads.ts'
import {
  ofBursts,
  ofFrames,
  ofGuesses,
  ofJitter,
  ofReads,
  ofShapes,
  ofUntied,
  SURE_CLOCK_PPM,
} from './report.ts'
import { kindsOf, longestReadNs } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { isSteady } from './steady.ts'
import { canStartApart, commonFields } from './title.ts'
import type { Timing } from './title-walk.ts'

/** What reads look like, and how they come again. */
export interface Pattern {
  readonly fields: ReturnType<typeof commonFields>
  /** Of each read of the frame. */
  readonly shapes: readonly Shape[]
  /** After so many frames its reads come again: more than one only where they do not all lie in one. */
  readonly everyFrames: number
  /** From the last edge before a read to its first one; `null` where reads are tied to the frame. */
  readonly apartNs: RangeNs | null
  readonly findings: readonly CaptureFinding[]
  readonly reads: number
  /** Usual ones; 0 where reads are tied to none. */
  readonly frames: number
  /** Of a frame, as the capture's clock has it; 0 where reads are tied to none. */
  readonly periodNs: number
  /** See {@link isSteady}: where no frame ties them, edges are not held against a clock. */
  readonly isSteady: boolean
}

/** When its edges come. */
export const timingOf = ({ fields, shapes, everyFrames, apartNs }: Pattern): Timing => ({
  ...fields,
  shapes,
  everyFrames,
  ...(apartNs && { apartNs }),
})

type Fault = Pick<InferFault, 'findings'> &
  ({ readonly kind: 'irregular' } | { readonly kind: 'too-short'; readonly frames: number })

/** Fewer frames, or reads, than these do not show that anything comes again. */
const LEAST_FRAMES = 3
/** At least this many of the reads that no frame ties are alike: a data line has all sorts. */
const LEAST_ALIKE = 0.4
/** Phases that are taken for reads one by one are not more unlike than this: a data line has all sorts. */
const MOST_UNLIKE = 4

/** Reads that come at the same places of every frame. */
export function tiedToFrames(line: SelectLine, bursts: Bursts): Result<Pattern, Fault> {
  const findings: CaptureFinding[] = ofBursts(bursts)
  if (bursts.phaseNs > TITLE_LIMITS.maxSpacingNs) return err({ kind: 'irregular', findings })
  const reads = readsOf(line, bursts)
  const startsNs = Float64Array.from(bursts.whole, ({ first }) => line.timesNs[first] ?? 0)
  const rough = reads === null ? null : findPeriod(startsNs)
  if (reads === null || rough === null) {
    if (reads !== null) findings.unshift(...ofReads(bursts, reads))
    const frames = framesCovered(line, bursts, startsNs)
    return err(
      frames < LEAST_FRAMES ? { kind: 'too-short', frames, findings } : { kind: 'irregular', findings },
    )
  }
  const frames = groupFrames(startsNs, rough.ns)
  const period: Period = { ...rough, ns: frames.periodNs }
  const found = shapesOfFrame(line, bursts, reads, frames)
  const shapes = haveRoom(frames, period, found) ? found : found.map(() => shapeOf(reads))
  findings.unshift(
    ...(kindsOf(shapes).length > 1 ? ofShapes(bursts, frames, shapes) : ofReads(bursts, reads)),
  )
  const standard = period.standard ?? nearestStandard(period)
  const ppm = (period.ns / period.frames / frameNs(standard) - 1) * 1e6
  findings.unshift(...ofFrames(frames, period, standard, ppm))
  if (frames.usual < LEAST_FRAMES) {
    // The frames at both ends may be cut.
    const short = frames.spanned < LEAST_FRAMES + 2 && mostlyWhole(bursts)
    return err(
      short ? { kind: 'too-short', frames: frames.usual, findings } : { kind: 'irregular', findings },
    )
  }
  if (isJitter(frames, period, ppm)) return err({ kind: 'irregular', findings })

  const scale = period.standard === null ? 1 : (period.frames * frameNs(standard)) / period.ns
  const lastNs = (frames.placesNs.at(-1) ?? 0) + longestReadNs(shapes.at(-1) as Shape)
  const everyFrames = lastNs < period.ns / period.frames ? 1 : period.frames
  const fields = commonFields({
    rest: bursts.rest,
    standard,
    everyFrames,
    offsetsNs: frames.placesNs.map((ns) => Math.round(ns * scale)),
    lateNs: Math.ceil(frames.lateNs),
    ppm,
    shapes,
  })
  findings.push(...ofJitter(frames, fields.readJitterNs, ppm), ...ofGuesses(bursts, shapes))
  return ok({
    fields,
    shapes,
    everyFrames,
    apartNs: null,
    findings,
    reads: bursts.whole.length,
    frames: frames.usual,
    periodNs: period.ns / period.frames,
    isSteady: isSteady(line, bursts, frames),
  })
}

/**
 * Whether a clock only seems to be off, because reads come late by more than that: of consoles it is off by some 100 ppm at the most (common practice,
 * no source).
 */
const isJitter = ({ spreadNs, spanned }: Frames, { ns }: Period, ppm: number): boolean =>
  Math.abs(ppm) > SURE_CLOCK_PPM &&
  spreadNs > TITLE_LIMITS.maxReadJitterNs &&
  Math.abs(ppm) * ns * spanned < 2 * spreadNs * 1e6

/** Whether each read of a frame is over before the next one begins. */
const haveRoom = ({ placesNs }: Frames, { ns }: Period, shapes: readonly Shape[]): boolean =>
  shapes.every((shape, read) => (placesNs[read + 1] ?? ns) - (placesNs[read] ?? 0) > longestReadNs(shape))

/** Reads of one shape that come whenever they come. */
export function untied(line: SelectLine, cutAt: 'rests' | 'each'): Result<Pattern, Fault> {
  const bursts = findBursts(line, cutAt)
  const findings: CaptureFinding[] = ofBursts(bursts)
  const reads = readsOf(line, bursts)
  if (reads === null || reads.usual < LEAST_FRAMES || reads.usual < LEAST_ALIKE * reads.of)
    return err({ kind: 'irregular', findings })
  const shape = shapeOf(reads)
  const { spacingNs } = reads
  if (cutAt === 'each' && spacingNs.maxNs > MOST_UNLIKE * spacingNs.minNs)
    return err({ kind: 'irregular', findings })
  findings.unshift(...ofReads(bursts, reads))
  const apartNs = apartOf(line, bursts, reads)
  if (
    apartNs === null ||
    spacingNs.maxNs > TITLE_LIMITS.maxGapNs ||
    reads.cyclesPerRead > TITLE_LIMITS.cyclesPerRead
  )
    return err({ kind: 'irregular', findings })
  if (!canStartApart(apartNs, shape, bursts.rest)) return err({ kind: 'irregular', findings })
  const shapes = [shape]
  const fields = commonFields({
    rest: bursts.rest,
    standard: '525-line',
    everyFrames: 1,
    offsetsNs: [0],
    lateNs: 0,
    ppm: 0,
    shapes,
  })
  findings.unshift(ofUntied(apartNs, reads))
  findings.push(...ofGuesses(bursts, shapes))
  return ok({
    fields,
    shapes,
    everyFrames: 1,
    apartNs,
    findings,
    reads: bursts.whole.length,
    frames: 0,
    periodNs: 0,
    isSteady: false,
  })
}

/** From the last edge before a usual read to its first one, whatever came before it. */
function apartOf({ timesNs }: SelectLine, { whole }: Bursts, { cyclesPerRead }: Reads): RangeNs | null {
  let [minNs, maxNs] = [Infinity, 0]
  for (const { first, edges } of whole) {
    if (edges !== 2 * cyclesPerRead || first < 2) continue
    const restedNs = (timesNs[first] ?? 0) - (timesNs[first - 1] ?? 0)
    minNs = Math.min(minNs, restedNs)
    maxNs = Math.max(maxNs, restedNs)
  }
  return minNs <= maxNs ? { minNs: Math.floor(minNs), maxNs: Math.ceil(maxNs) } : null
}

/** Whether the line has reads with something odd between them, rather than odd things with a read between them. */
const mostlyWhole = ({ whole, broken }: Bursts): boolean => whole.length > broken.count

/** How many frames there is something of at the most: as many as lie between whole reads, or in the capture where those are not all. */
function framesCovered(line: SelectLine, bursts: Bursts, startsNs: Float64Array): number {
  const inReads = mostlyWhole(bursts)
  const spanNs = inReads ? (startsNs.at(-1) ?? 0) - (startsNs[0] ?? 0) : line.endNs - line.startNs
  return Math.floor(spanNs / frameNs('525-line')) + (inReads ? 1 : 0)
}

/** The standard with the nearer frame, however far that is. */
const nearestStandard = ({ ns }: Period): VideoStandard => {
  const [first, second] = VIDEO_STANDARDS
  return ns < (frameNs(first) + frameNs(second)) / 2 ? first : second
}
