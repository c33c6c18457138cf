import type { VideoStandard } from '../../port/clocks.ts'
import type { RangeNs } from '../../port/range.ts'
import type { Bursts } from './bursts.ts'
import type { Evidence, CaptureFinding, Sureness, What } from './findings.ts'
import type { Frames } from './frames.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import type { FoundMode } from './modes.ts'
import type { Pattern } from './patterns.ts'
import type { Period } from './period.ts'
import type { Reads } from './reads.ts'
import { kindsOf, longestPhaseNs } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { clockTolerance, guessSample, sixButtonShape } from './title.ts'

/** Makes findings out of what was measured: how sure each is, and on what it stands. */

/** So many frames, or reads, make what is seen in nearly all of them sure. */
const MANY = 10
const NEARLY_ALL = 0.95
const MOST = 0.6
/** A console's clock and a capture device's are off by less together; a standard further off is likely only. */
export const SURE_CLOCK_PPM = 1_000
/** A rest that is shorter than so many phases might be a long phase, and two reads might be one. */
const CLEAR_GAP = 16

const surenessOf = ({ seen, of }: Evidence): Sureness => {
  if (seen >= MANY && seen >= NEARLY_ALL * of) return 'sure'
  return seen >= MOST * of ? 'likely' : 'guess'
}

/** Frames that the title reads in; those that it skips, or that the capture cuts, say nothing against what is seen. */
const usedFrames = ({ usual, uneven }: Frames): Evidence => ({
  seen: usual,
  of: usual + uneven.count,
  things: 'frames',
})

/** What is odd about the line itself. */
export function ofLine({
  sampledNs,
  glitches,
  unknown,
  undriven,
  full,
  endNs,
}: SelectLine): CaptureFinding[] {
  const findings: CaptureFinding[] = []
  if (sampledNs !== null) findings.push({ what: 'sampled', value: sampledNs, sureness: 'sure' })
  if (glitches.count > 0) findings.push({ what: 'glitches', value: glitches, sureness: 'guess' })
  if (unknown.count > 0) findings.push({ what: 'unknown', value: unknown, sureness: 'sure' })
  if (undriven.count > 0) findings.push({ what: 'undriven', value: undriven, sureness: 'sure' })
  if (full) findings.push({ what: 'cut-off', value: { atNs: endNs }, sureness: 'sure' })
  return findings
}

/** What of the capture is no whole read. */
export function ofBursts({ cutAtStart, cutAtEnd, broken, keptUntilNs }: Bursts): CaptureFinding[] {
  const findings: CaptureFinding[] = []
  if (cutAtStart || cutAtEnd) {
    findings.push({ what: 'cut-reads', value: { atStart: cutAtStart, atEnd: cutAtEnd }, sureness: 'sure' })
  }
  if (keptUntilNs !== null) findings.push({ what: 'cut-off', value: { atNs: keptUntilNs }, sureness: 'sure' })
  if (broken.count > 0) findings.push({ what: 'broken-reads', value: broken, sureness: 'sure' })
  return findings
}

const ofWhole = ({ whole, broken }: Bursts): Evidence => ({
  seen: whole.length,
  of: whole.length + broken.count,
  things: 'reads',
})

/** A line that is captured inverted looks like one that idles low, which few titles have. */
function ofRest(bursts: Bursts): CaptureFinding {
  const evidence = ofWhole(bursts)
  const sureness = surenessOf(evidence)
  const isDoubted = bursts.rest === 'low' && sureness === 'sure'
  return { what: 'rest', value: bursts.rest, sureness: isDoubted ? 'likely' : sureness, evidence }
}

const isClear = ({ gaps }: Bursts, longestNs: number): boolean =>
  gaps === null || gaps.minNs >= CLEAR_GAP * longestNs

function ofGaps(bursts: Bursts, clear: boolean): CaptureFinding[] {
  const evidence = ofWhole(bursts)
  const { gaps } = bursts
  return gaps === null
    ? []
    : [{ what: 'gaps', value: { ...gaps, clear }, sureness: surenessOf(evidence), evidence }]
}

/** What a read looks like. */
export function ofReads(
  bursts: Bursts,
  { usual, of, cyclesPerRead, spacingNs, others }: Reads,
): CaptureFinding[] {
  const alike: Evidence = { seen: usual, of, things: 'reads' }
  const clear = isClear(bursts, spacingNs.maxNs)
  const cycles = surenessOf(alike)
  const findings: CaptureFinding[] = [
    ofRest(bursts),
    {
      what: 'cycles-per-read',
      value: cyclesPerRead,
      sureness: clear || cycles !== 'sure' ? cycles : 'likely',
      evidence: alike,
    },
    { what: 'edge-spacing', value: spacingNs, sureness: surenessOf(alike), evidence: alike },
    ...ofGaps(bursts, clear),
  ]
  if (others.length > 0) findings.push({ what: 'other-reads', value: others, sureness: 'sure' })
  return findings
}

/** What the reads of a frame look like, where they are of several kinds. */
export function ofShapes(bursts: Bursts, frames: Frames, shapes: readonly Shape[]): CaptureFinding[] {
  const alike = usedFrames(frames)
  const clear = isClear(bursts, longestPhaseNs(shapes))
  const sureness = surenessOf(alike)
  return [
    ofRest(bursts),
    {
      what: 'read-kinds',
      value: kindsOf(shapes),
      sureness: clear || sureness !== 'sure' ? sureness : 'likely',
      evidence: alike,
    },
    ...ofGaps(bursts, clear),
  ]
}

/** How reads come again. */
export function ofFrames(
  frames: Frames,
  period: Period,
  nearest: VideoStandard,
  ppm: number,
): CaptureFinding[] {
  const spanned: Evidence = { seen: frames.usual, of: frames.spanned, things: 'frames' }
  const used = usedFrames(frames)
  const { standard, frames: everyFrames } = period
  const regular = surenessOf(used)
  // Each end of the capture may be late by the jitter, and so may the clock be off for all that is known.
  const openPpm = (frames.lateNs / period.ns / Math.max(1, frames.spanned - 1)) * 1e6
  const close = Math.abs(ppm) + openPpm <= SURE_CLOCK_PPM && everyFrames === 1
  const fits: Sureness = close ? regular : regular === 'guess' ? 'guess' : 'likely'
  const findings: CaptureFinding[] = [
    {
      what: 'frame-rate',
      value: { hz: (1e9 * everyFrames) / period.ns, everyFrames },
      sureness: regular,
      evidence: used,
    },
    {
      what: 'standard',
      value: { standard, nearest, ppm: -ppm },
      sureness: standard === null ? 'guess' : fits,
      evidence: used,
    },
    { what: 'reads-per-frame', value: frames.readsPerFrame, sureness: regular, evidence: used },
    {
      what: 'read-offsets',
      value: frames.placesNs.map(Math.round),
      sureness: regular,
      evidence: used,
    },
  ]
  if (frames.skipped.count > 0)
    findings.push({ what: 'skipped-frames', value: frames.skipped, sureness: 'sure', evidence: spanned })
  if (frames.uneven.count > 0)
    findings.push({ what: 'uneven-frames', value: frames.uneven, sureness: 'sure', evidence: used })
  if (frames.strays > 0) findings.push({ what: 'strays', value: frames.strays, sureness: 'sure' })
  return findings
}

/** That reads come at no place of their own. */
export const ofUntied = (apartNs: RangeNs, { usual, of }: Reads): CaptureFinding => ({
  what: 'untied',
  value: apartNs,
  sureness: 'likely',
  evidence: { seen: usual, of, things: 'reads' },
})

/** How exactly reads come again. */
export function ofJitter(frames: Frames, takenNs: number, ppm: number): CaptureFinding[] {
  const { lateNs } = frames
  return [
    {
      what: 'read-jitter',
      value: { seenNs: Math.ceil(lateNs), takenNs },
      sureness: takenNs < lateNs ? 'guess' : 'likely',
      evidence: usedFrames(frames),
    },
    { what: 'clock-tolerance', value: clockTolerance(ppm), sureness: 'guess' },
  ]
}

/** When samples may come, in reads of all these shapes. */
function guessedSamples(shapes: readonly Shape[]): RangeNs {
  const all = shapes.map(({ edgeSpacingNs }) => guessSample(edgeSpacingNs.minNs))
  return {
    minNs: Math.min(...all.map(({ minNs }) => minNs)),
    maxNs: Math.max(...all.map(({ maxNs }) => maxNs)),
  }
}

/** What edges do not show. */
export function ofGuesses({ rest }: Bursts, shapes: readonly Shape[]): CaptureFinding[] {
  const longest = Math.max(...shapes.map(({ cyclesPerRead }) => cyclesPerRead))
  return [
    { what: 'sample', value: guessedSamples(shapes), sureness: 'guess' },
    { what: 'samples', value: 'three-buttons', sureness: 'guess' },
    { what: 'six-buttons', value: sixButtonShape(rest, longest), sureness: 'guess' },
    { what: 'drive', value: 'driven', sureness: 'guess' },
  ]
}

/** What a title says of every frame: edges that are left over speak against it. */
const PATTERN: readonly What[] = [
  'rest',
  'cycles-per-read',
  'edge-spacing',
  'read-kinds',
  'gaps',
  'frame-rate',
  'standard',
  'reads-per-frame',
  'read-offsets',
]

/** Findings together with what is left over, which comes first: with it, or with edges that can be missing, nothing of the pattern is sure. */
export function withLeftOver(
  findings: readonly CaptureFinding[],
  noted: Noted,
  isHidden: boolean,
): CaptureFinding[] {
  if (noted.count === 0 && !isHidden) return [...findings]
  const leftOver: CaptureFinding = { what: 'left-over', value: noted, sureness: 'sure' }
  return [
    ...(noted.count > 0 ? [leftOver] : []),
    ...findings.map((finding): CaptureFinding => {
      const isSpokenAgainst = finding.sureness === 'sure' && PATTERN.includes(finding.what)
      return isSpokenAgainst ? { ...finding, sureness: 'likely' } : finding
    }),
  ]
}

/** Told once, of the capture as a whole. */
const OF_ALL: readonly What[] = ['cut-reads', 'broken-reads', 'cut-off']
/** Told of the first mode, and the same in all. */
const OF_FIRST: readonly What[] = ['rest', 'clock-tolerance', 'samples', 'drive']

/** What was found of each mode of a title that has several. */
export const ofModes = (modes: readonly FoundMode[]): CaptureFinding[] =>
  modes.flatMap(({ pattern, firstNs }, k) => {
    const mode = k + 1
    const { frames, reads, findings } = pattern
    const count = frames > 0 ? frames : reads
    const things = frames > 0 ? 'frames' : 'reads'
    const told = findings.filter(
      ({ what }) => !OF_ALL.includes(what) && (k === 0 || !OF_FIRST.includes(what)),
    )
    return [
      { what: 'mode', value: { count, firstNs, things }, sureness: count >= MANY ? 'sure' : 'likely', mode },
      ...told.map((finding): CaptureFinding =>
        OF_FIRST.includes(finding.what) ? finding : { ...asTaken(finding, pattern), mode },
      ),
    ]
  })

/** A finding with the figure that the title has, where that is of several stretches. */
function asTaken(finding: CaptureFinding, { fields, shapes, apartNs }: Pattern): CaptureFinding {
  switch (finding.what) {
    case 'edge-spacing':
      return { ...finding, value: (shapes[0] as Shape).edgeSpacingNs }
    case 'read-kinds':
      return { ...finding, value: kindsOf(shapes) }
    case 'sample':
      return { ...finding, value: guessedSamples(shapes) }
    case 'read-jitter':
      return { ...finding, value: { ...finding.value, takenNs: fields.readJitterNs } }
    case 'untied':
      return apartNs === null ? finding : { ...finding, value: apartNs }
    default:
      return finding
  }
}
