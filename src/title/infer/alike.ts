import { TITLE_LIMITS } from '../title-limits.ts'
import type { CaptureFinding, Evidence } from './findings.ts'
import type { Pattern } from './patterns.ts'
import { titleFields } from './title.ts'

/** Phases of one mode are as long in each stretch of it, but for what interrupts and samples add: within these factors. */
const LEAST_RATIO = 0.7
const MOST_RATIO = 2

const near = (one: number, other: number): boolean =>
  Math.min(one, other) >= LEAST_RATIO * Math.max(one, other) ||
  Math.max(one, other) - Math.min(one, other) < 500

/** One pattern for two that are the same mode in two stretches; `null` where they are not. */
export function bothOf(one: Pattern, other: Pattern): Pattern | null {
  const [p, q] = [one.fields, other.fields]
  const isSame =
    p.rest === q.rest &&
    p.cyclesPerRead === q.cyclesPerRead &&
    near(p.edgeSpacingNs.minNs, q.edgeSpacingNs.minNs)
  if (!isSame || !isWithin(p.edgeSpacingNs.maxNs, q.edgeSpacingNs.maxNs)) return null
  const spacingNs = {
    minNs: Math.min(p.edgeSpacingNs.minNs, q.edgeSpacingNs.minNs),
    maxNs: Math.max(p.edgeSpacingNs.maxNs, q.edgeSpacingNs.maxNs),
  }
  const { rest, standard, cyclesPerRead } = p
  const common = { rest, standard, cyclesPerRead, spacingNs, ppm: Math.max(p.clockPpm, q.clockPpm) }
  const counts = { reads: one.reads + other.reads, frames: one.frames + other.frames }
  const made = (offsetsNs: readonly number[], lateNs: number, apartNs: Pattern['apartNs']): Pattern => {
    const fields = { ...titleFields({ ...common, offsetsNs, lateNs }), cyclesPerRead }
    const findings = bothFindings(one.findings, other.findings)
    return { ...counts, fields, apartNs, periodNs: one.periodNs, findings }
  }
  if (one.apartNs !== null || other.apartNs !== null) {
    if (one.apartNs === null || other.apartNs === null) return null
    return made([0], 0, {
      minNs: Math.min(one.apartNs.minNs, other.apartNs.minNs),
      maxNs: Math.max(one.apartNs.maxNs, other.apartNs.maxNs),
    })
  }
  if (p.standard !== q.standard || p.readOffsetsNs.length !== q.readOffsetsNs.length) return null
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
