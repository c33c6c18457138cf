import { readJson } from '../../document/document.ts'
import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Capture } from '../evidence.ts'
import type { LeftOver } from '../left-over.ts'
import { canHideEdges, canHideInAll } from '../sampling-step.ts'
import { TITLE_KIND } from '../schema.ts'
import type { Title } from '../schema.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import { readShortTitle } from '../short-title.ts'
import type { ShortTitle } from '../short-title.ts'
import { titleOfShort } from '../title-of-short.ts'
import { findBursts } from './bursts.ts'
import { findClock, findPulses } from './clock.ts'
import type { CaptureFinding, InferFault } from './findings.ts'
import { findingLine, nameFrom, notesFrom } from './finding-words.ts'
import { findLeftOver } from './left-over.ts'
import { tiedToFrames, untied } from './patterns.ts'
import type { Pattern } from './patterns.ts'
import { ofBursts, ofLine, withLeftOver } from './report.ts'
import { tellPulses } from './short-pulses.ts'
import type { Seen } from './short-pulses.ts'
import { sourcesOf } from './sources.ts'
import { startsApart } from './title.ts'
import { withoutEdges } from './without-edges.ts'

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

/** Where so many of the edges are left over that are not where no frame ties them, no frame does. */
const MUCH_LEFT_OVER = 0.3

/** Common practice, no source: phases of a read are not more unlike than this. */
const MOST_UNLIKE = 16

/** A pattern with what of the capture it does not explain. */
interface Explained extends Pattern {
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

  const framed = tied.ok ? explained(seen, tied.value) : null
  for (const found of inOrder(seen, framed)) {
    const titled = titleOf(found, ofAll, origin)
    if (titled !== null) return titled
  }
  const findings = [...(tied.ok ? tied.value : tied.error).findings, ...ofAll]
  const short = tied.ok ? readShortTitle({ ...tied.value.fields, name: 'x', notes: '' }) : null
  if (short === null || short.ok) return err({ kind: 'irregular', findings })
  return err({ kind: 'no-title', place: short.error.place, complaint: short.error.message, findings })
}

/**
 * Tied to frames, unless that leaves much over that is none of it otherwise. Where the line has no reads with rests between them, each time that it
 * leaves its rest is one.
 */
function* inOrder(seen: Seen, framed: Explained | null): Generator<Explained> {
  if (framed !== null && framed.edges <= MUCH_LEFT_OVER * seen.driven.timesNs.length) yield framed
  const free = freeOf(seen)
  const isFreeBetter = framed !== null && free !== null && free.edges <= framed.edges / 2
  if (framed !== null && !isFreeBetter) yield framed
  if (free !== null && isOfReads(seen, free)) yield free
  if (framed !== null) yield framed
}

/** Where most of the line is left over, and what is not has all sorts of phases, it is a line of something else. */
function isOfReads({ driven }: Seen, { edges, fields }: Explained): boolean {
  const { minNs, maxNs } = fields.edgeSpacingNs
  return edges <= driven.timesNs.length / 2 || maxNs <= MOST_UNLIKE * minNs
}

function freeOf(seen: Seen): Explained | null {
  for (const cutAt of ['rests', 'each'] as const) {
    const pattern = untied(seen.driven, cutAt)
    if (pattern.ok) return explained(seen, pattern.value)
  }
  return null
}

function explained({ driven, whole }: Seen, pattern: Pattern): Explained {
  const { fields, apartNs } = pattern
  const timing = { ...fields, ...(apartNs && { apartNs }) }
  const { leftOver, noted, edges } = findLeftOver(whole ?? driven, timing)
  const { glitches, sampledNs } = driven
  const isHidden =
    sampledNs !== null &&
    canHideEdges(sampledNs) &&
    (noted.count > 0 || canHideInAll(sampledNs, pattern.reads))
  const hidden = isHidden ? { sampledNs: Math.round(sampledNs) } : {}
  if (whole !== null) return { ...pattern, leftOver: { ...leftOver, ...hidden }, noted, edges }
  // Of pulses that were too many to be kept nobody knows what they were.
  return {
    ...pattern,
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
  const { fields, apartNs, leftOver, noted } = found
  const isHidden = leftOver.sampledNs !== undefined
  const findings = withLeftOver([...found.findings, ...ofAll], noted, isHidden)
  const text = { name: nameFrom(name), notes: notesFrom(source, findings.map(findingLine)) }
  const all: ShortTitle = {
    ...fields,
    ...text,
    mode: '',
    sources: sourcesOf(findings, capture),
    captures: capture ? [capture] : [],
    isOpen: true,
    ...((noted.count > 0 || isHidden) && { leftOver }),
  }
  const starts = apartNs === null ? undefined : startsApart(apartNs, fields, all.sources.readOffsetsNs)
  if (apartNs === null && !readShortTitle({ ...fields, ...text }).ok) return null
  const title = titleOfShort(all, starts)
  return readJson(TITLE_KIND, title).ok ? ok({ title, findings }) : null
}
