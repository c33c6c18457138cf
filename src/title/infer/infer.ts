import { frameNs, VIDEO_STANDARDS } from '../../port/clocks.ts'
import type { VideoStandard } from '../../port/clocks.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Capture } from '../evidence.ts'
import type { Title } from '../schema.ts'
import { readShortTitle } from '../short-title.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { titleOfShort } from '../title-of-short.ts'
import { findBursts } from './bursts.ts'
import type { Bursts } from './bursts.ts'
import { findClock, findPulses } from './clock.ts'
import type { CaptureFinding, InferFault } from './findings.ts'
import { groupFrames } from './frames.ts'
import type { SelectLine } from '../select-line.ts'
import { findLeftOver } from './left-over.ts'
import { findPeriod } from './period.ts'
import type { Period } from './period.ts'
import { readsOf } from './reads.ts'
import { sourcesOf } from './sources.ts'
import { ofBursts, ofFrames, ofGuesses, ofLine, ofReads, withLeftOver } from './report.ts'
import { titleFields } from './title.ts'
import { withoutEdges } from './without-edges.ts'
import { findingLine, nameFrom, notesFrom } from './finding-words.ts'

/** Where a capture came from, for the title's name and notes. */
export interface Origin {
  /** Becomes the title's name, as far as a name can be so. */
  readonly name: string
  /** Such as `select in evening.vcd`. */
  readonly source: string
  /** The file that it was read from, where its hash is known. */
  readonly capture?: Capture | undefined
}

export interface Inferred {
  readonly title: Title
  readonly findings: readonly CaptureFinding[]
}

/** Fewer frames than these do not show that anything comes again. */
const LEAST_FRAMES = 3

/**
 * Finds a title's read pattern in a select line that is free of glitches. What edges do not show is guessed, and each finding
 * says how sure it is. A fault carries what could be found all the same.
 */
export function inferFromLine(line: SelectLine, origin: Origin): Result<Inferred, InferFault> {
  const findings: CaptureFinding[] = ofLine(line)
  const { timesNs } = line
  const still = withoutEdges(line)
  if (still !== null) return err({ ...still, findings })

  const bursts = findBursts(line)
  const clock = findClock(line, bursts)
  if (clock !== null) return err({ ...clock, findings })
  if (bursts.phaseNs > TITLE_LIMITS.maxSpacingNs) return err({ kind: 'irregular', findings })
  findings.unshift(...ofBursts(bursts))
  const reads = readsOf(line, bursts)
  if (reads !== null) findings.unshift(...ofReads(bursts, reads))

  const startsNs = Float64Array.from(bursts.whole, ({ first }) => timesNs[first] ?? 0)
  const pulses = findPulses(startsNs)
  if (pulses !== null) return err({ ...pulses, findings })
  const rough = reads === null ? null : findPeriod(startsNs)
  if (reads === null || rough === null) {
    const frames = framesCovered(line, bursts, startsNs)
    return err(
      frames < LEAST_FRAMES ? { kind: 'too-short', frames, findings } : { kind: 'irregular', findings },
    )
  }
  const frames = groupFrames(startsNs, rough.ns)
  const period: Period = { ...rough, ns: frames.periodNs }
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

  const scale = period.standard === null ? 1 : (period.frames * frameNs(standard)) / period.ns
  const fields = titleFields({
    rest: bursts.rest,
    standard,
    offsetsNs: frames.placesNs.map((ns) => Math.round(ns * scale)),
    lateNs: Math.ceil(frames.lateNs),
    ppm,
    ...reads,
  })
  findings.push(...ofGuesses(bursts, reads, frames, fields.readJitterNs, ppm))
  const { leftOver, noted } = findLeftOver(line, { ...fields, cyclesPerRead: reads.cyclesPerRead })
  const all = withLeftOver(findings, noted)
  const short = readShortTitle({
    ...fields,
    name: nameFrom(origin.name),
    notes: notesFrom(origin.source, all.map(findingLine)),
  })
  if (!short.ok)
    return err({ kind: 'no-title', place: short.error.place, complaint: short.error.message, findings: all })
  const { capture } = origin
  const title = titleOfShort({
    ...short.value,
    mode: '',
    sources: sourcesOf(all, capture),
    captures: capture ? [capture] : [],
    isOpen: true,
    ...(noted.count > 0 && { leftOver }),
  })
  return ok({ title, findings: all })
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
