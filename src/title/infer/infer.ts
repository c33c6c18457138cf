import { readJson } from '../../document/document.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Capture } from '../evidence.ts'
import type { LeftOver } from '../left-over.ts'
import { canHideEdges, canHideInAll } from '../sampling-step.ts'
import { TITLE_KIND } from '../schema.ts'
import type { Title } from '../schema.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import { findBursts } from './bursts.ts'
import type { Bursts } from './bursts.ts'
import { findClock, findPulses } from './clock.ts'
import type { CaptureFinding, InferFault } from './findings.ts'
import { findingLine, nameFrom, notesFrom } from './finding-words.ts'
import { findLeftOver } from './left-over.ts'
import { findModes } from './modes.ts'
import type { FoundMode } from './modes.ts'
import { throughout } from './odd-spans.ts'
import type { Part } from './odd-spans.ts'
import { tiedToFrames, timingOf, untied } from './patterns.ts'
import type { Pattern } from './patterns.ts'
import { ofBursts, ofLine, ofModes, withLeftOver } from './report.ts'
import { tellPulses } from './short-pulses.ts'
import type { Seen } from './short-pulses.ts'
import { shortFaultOf, titleOfModes } from './title-of-modes.ts'
import { withoutEdges } from './without-edges.ts'

/** Where a capture came from, for the title's name and notes. */
export interface Origin {
  /** Becomes the title's name, as far as a name can be so. */
  readonly name: string
  /** Such as `select in evening.vcd`. */
  readonly source: string
  /** The file that it was read from, where its hash is known. */
  readonly capture?: Capture | undefined
  /** Whether the capture begins at power-on, as the user says. */
  readonly fromPowerOn?: boolean
}

export interface Inferred {
  readonly title: Title
  readonly findings: readonly CaptureFinding[]
}

/** Where so many of the edges are left over that are not where no frame ties them, no frame does. */
const MUCH_LEFT_OVER = 0.3
/** So few can be left over of modes that are told apart, though one pattern that no frame ties leaves fewer. */
const LITTLE_LEFT_OVER = 0.005

/** Common practice, no source: phases of a read are not more unlike than this. */
const MOST_UNLIKE = 16

/** Patterns with what of the capture they do not explain. */
interface Explained {
  /** More than one where the title has modes. */
  readonly modes: readonly FoundMode[]
  readonly findings: readonly CaptureFinding[]
  readonly leftOver: LeftOver
  readonly noted: Noted
  /** Edges that are left over. */
  readonly edges: number
}

/**
 * Finds a title's read pattern in a select line. What edges do not show is guessed, and each finding
 * says how sure it is. A fault carries what could be found all the same.
 */
export function inferFromLine(line: SelectLine, origin: Origin): Result<Inferred, InferFault> {
  const seen = tellPulses(line)
  const ofAll = ofLine(seen.driven)
  const still = withoutEdges(seen.driven)
  if (still !== null) return err({ ...still, findings: ofAll })

  const { driven } = seen
  const bursts = findBursts(driven)
  const startsNs = Float64Array.from(bursts.whole, ({ first }) => driven.timesNs[first] ?? 0)
  const clock = findClock(driven, bursts) ?? findPulses(startsNs)
  if (clock !== null) return err({ ...clock, findings: [...ofBursts(bursts), ...ofAll] })
  const tied = tiedToFrames(driven, bursts)
  if (!tied.ok && tied.error.kind === 'too-short')
    return err({ ...tied.error, findings: [...tied.error.findings, ...ofAll] })

  const framed = tied.ok ? explainedBy(seen, tied.value) : null
  for (const found of inOrder(seen, bursts, framed, origin.fromPowerOn ?? false)) {
    const titled = titleOf(found, ofAll, origin)
    if (titled !== null) return titled
  }
  const findings = [...(tied.ok ? tied.value : tied.error).findings, ...ofAll]
  const fault = tied.ok ? shortFaultOf(tied.value) : null
  if (fault === null) return err({ kind: 'irregular', findings })
  return err({ kind: 'no-title', place: fault.place, complaint: fault.message, findings })
}

/**
 * Tied to frames, unless that leaves much over that is none of it otherwise: several patterns, one after the other, are modes, and where the line has no
 * reads with rests between them, each time that it leaves its rest is one.
 */
function* inOrder(
  seen: Seen,
  bursts: Bursts,
  framed: Explained | null,
  fromPowerOn: boolean,
): Generator<Explained> {
  const isMuch = ({ edges }: Explained): boolean => edges > MUCH_LEFT_OVER * seen.driven.timesNs.length
  const isFarBetter = ({ edges }: Explained): boolean => framed === null || edges <= framed.edges / 2
  const modes = framed?.edges === 0 ? null : inModes(seen, bursts, fromPowerOn)
  const free = modes === null && framed !== null && !isMuch(framed) ? null : freeOf(seen)
  const isBest = ({ edges }: Explained): boolean =>
    edges <= LITTLE_LEFT_OVER * seen.driven.timesNs.length || edges <= (free?.edges ?? Infinity)
  if (modes !== null && !isMuch(modes) && isFarBetter(modes) && isBest(modes)) yield modes
  if (framed !== null && !isMuch(framed)) yield framed
  const isFreeBetter = framed !== null && free !== null && isFarBetter(free)
  if (framed !== null && !isFreeBetter) yield framed
  if (free !== null && isOfReads(seen, free)) yield free
  if (framed !== null) yield framed
}

/** Where most of the line is left over, and what is not has all sorts of phases, it is a line of something else. */
function isOfReads({ driven }: Seen, { edges, modes }: Explained): boolean {
  return (
    edges <= driven.timesNs.length / 2 ||
    modes.every(({ pattern: { shapes } }) =>
      shapes.every(({ edgeSpacingNs: { minNs, maxNs } }) => maxNs <= MOST_UNLIKE * minNs),
    )
  )
}

function freeOf(seen: Seen): Explained | null {
  for (const cutAt of ['rests', 'each'] as const) {
    const pattern = untied(seen.driven, cutAt)
    if (pattern.ok) return explainedBy(seen, pattern.value)
  }
  return null
}

function inModes(seen: Seen, bursts: Bursts, fromPowerOn: boolean): Explained | null {
  const found = findModes(seen.driven, bursts, fromPowerOn)
  if (found === null) return null
  const { modes, parts } = found
  return explained(seen, modes, parts, [...ofModes(modes), ...ofBursts(bursts)])
}

const explainedBy = (seen: Seen, pattern: Pattern): Explained =>
  explained(
    seen,
    [{ pattern, firstNs: seen.driven.startNs, isOnce: false }],
    throughout(timingOf(pattern)),
    pattern.findings,
  )

function explained(
  { driven, whole }: Seen,
  modes: readonly FoundMode[],
  parts: readonly Part[],
  findings: readonly CaptureFinding[],
): Explained {
  const { leftOver, noted, edges } = findLeftOver(whole ?? driven, parts)
  const { glitches, sampledNs } = driven
  const isHidden =
    sampledNs !== null &&
    canHideEdges(sampledNs) &&
    (noted.count > 0 ||
      modes.some(({ pattern }) => !pattern.isSteady || canHideInAll(sampledNs, pattern.reads)))
  const hidden = isHidden ? { sampledNs: Math.round(sampledNs) } : {}
  if (whole !== null) return { modes, findings, leftOver: { ...leftOver, ...hidden }, noted, edges }
  // Of pulses that were too many to be kept nobody knows what they were.
  return {
    modes,
    findings,
    edges,
    leftOver: { ...leftOver, more: leftOver.more + 1, ...hidden },
    noted: noted.count === 0 ? { count: 1, firstNs: glitches.firstNs } : { ...noted, count: noted.count + 1 },
  }
}

/** `null` where it makes no title. */
function titleOf(
  found: Explained,
  ofAll: readonly CaptureFinding[],
  { name, source, capture }: Origin,
): Result<Inferred, InferFault> | null {
  const { modes, leftOver, noted } = found
  const isHidden = leftOver.sampledNs !== undefined
  const findings = withLeftOver([...found.findings, ...ofAll], noted, isHidden)
  const title = titleOfModes(modes, {
    text: { name: nameFrom(name), notes: notesFrom(source, findings.map(findingLine)) },
    findings,
    capture,
    leftOver: noted.count > 0 || isHidden ? leftOver : undefined,
  })
  return title !== null && readJson(TITLE_KIND, title).ok ? ok({ title, findings }) : null
}
