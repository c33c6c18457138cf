import { TITLE_LIMITS } from '../title-limits.ts'
import type { CaptureFinding, Evidence } from './findings.ts'
import type { Pattern } from './patterns.ts'
import type { Shape } from './shapes.ts'
import { commonFields } from './title.ts'

/** Phases of one mode are as long in each stretch of it, but for what interrupts and samples add: within these factors. */
const LEAST_RATIO = 0.7
const MOST_RATIO = 2

const near = (one: number, other: number): boolean =>
  Math.min(one, other) >= LEAST_RATIO * Math.max(one, other) ||
  Math.max(one, other) - Math.min(one, other) < 500

/** One pattern for two that are the same mode in two stretches; `null` where they are not. */
export function bothOf(one: Pattern, other: Pattern): Pattern | null {
  const [p, q] = [one.fields, other.fields]
  if (p.rest !== q.rest || one.shapes.length !== other.shapes.length) return null
  const ofBoth = one.shapes.map((shape, read) => bothShapes(shape, other.shapes[read] as Shape))
  const shapes = ofBoth.filter((shape) => shape !== null)
  if (shapes.length < ofBoth.length) return null
  const { rest, standard } = p
  const common = { rest, standard, everyFrames: 1, shapes, ppm: Math.max(p.clockPpm, q.clockPpm) }
  const both = {
    reads: one.reads + other.reads,
    frames: one.frames + other.frames,
    isSteady: one.isSteady && other.isSteady,
  }
  const made = (offsetsNs: readonly number[], lateNs: number, apartNs: Pattern['apartNs']): Pattern => {
    const fields = commonFields({ ...common, offsetsNs, lateNs })
    const findings = bothFindings(one.findings, other.findings)
    return { ...both, fields, shapes, everyFrames: 1, apartNs, periodNs: one.periodNs, findings }
  }
  if (one.apartNs !== null || other.apartNs !== null) {
    if (one.apartNs === null || other.apartNs === null) return null
    return made([0], 0, {
      minNs: Math.min(one.apartNs.minNs, other.apartNs.minNs),
      maxNs: Math.max(one.apartNs.maxNs, other.apartNs.maxNs),
    })
  }
  if (p.standard !== q.standard) return null
  const offsetsNs = p.readOffsetsNs.map((ns, k) => Math.min(ns, q.readOffsetsNs[k] ?? ns))
  const lateNs = Math.max(
    ...[p, q].flatMap(({ readOffsetsNs, readJitterNs }) =>
      readOffsetsNs.map((ns, k) => ns - (offsetsNs[k] ?? ns) + readJitterNs),
    ),
  )
  return lateNs > TITLE_LIMITS.maxReadJitterNs ? null : made(offsetsNs, lateNs, null)
}

const isWithin = (one: number, other: number): boolean =>
  Math.max(one, other) <= MOST_RATIO * Math.min(one, other)

/** One shape for two that are the same read in two stretches; `null` where they are not. */
function bothShapes(one: Shape, other: Shape): Shape | null {
  const [p, q] = [one.edgeSpacingNs, other.edgeSpacingNs]
  const isSame = one.cyclesPerRead === other.cyclesPerRead && near(p.minNs, q.minNs)
  if (!isSame || !isWithin(p.maxNs, q.maxNs)) return null
  return {
    cyclesPerRead: one.cyclesPerRead,
    edgeSpacingNs: { minNs: Math.min(p.minNs, q.minNs), maxNs: Math.max(p.maxNs, q.maxNs) },
  }
}

/** What was found in two stretches of one mode: counted together. */
function bothFindings(
  findings: readonly CaptureFinding[],
  others: readonly CaptureFinding[],
): readonly CaptureFinding[] {
  return findings.map((finding): CaptureFinding => {
    const other = others.find(({ what }) => what === finding.what)
    if (finding.evidence === undefined || other?.evidence === undefined) return finding
    return { ...finding, evidence: bothEvidence(finding.evidence, other.evidence) }
  })
}

const bothEvidence = (one: Evidence, other: Evidence): Evidence => ({
  seen: one.seen + other.seen,
  of: one.of + other.of,
  things: one.things,
})
