import { frameNs } from '../../port/clocks.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { atLeastNs } from '../tolerance.ts'
import type { ModeStretch } from './modes.ts'
import type { Pattern } from './patterns.ts'
import { placeOfFrame } from './place-of-frame.ts'
import { opensAfter } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { commonFields, guessSample } from './title.ts'

/**
 * Puts the reads of all modes into one frame: a title goes on from one mode to another at the end of a frame, so how they stand to each other says how
 * soon it does.
 */

/** The shortest time from the end of one mode to the first read of the next, in ns, where one of the two is not tied to the frame (see READ.md). */
const MODE_CHANGE_NS = 1_000
/** Changes from one mode to another that differ by no more, in ns, are at the same place of the frame. */
const SAME_NS = TITLE_LIMITS.maxReadJitterNs / 2

interface PlacedStretch extends ModeStretch {
  /** The least rest before it, in ns. */
  readonly restedNs: number
}

/** From the first read of a frame of one mode to that of another. */
interface Change {
  readonly from: number
  readonly to: number
  readonly ns: number
}

export function placeModes(
  patterns: readonly Pattern[],
  stretches: readonly ModeStretch[],
  startsNs: Float64Array,
): { readonly patterns: readonly Pattern[]; readonly stretches: readonly PlacedStretch[] } {
  const whole = stretches.map((stretch, k) =>
    k === 0 ? stretch : fromFirstRead(stretch, patterns, startsNs),
  )
  const changes = whole.slice(1).flatMap((next, k) => {
    const before = whole[k] as ModeStretch
    return changeOf(before, next, patterns, startsNs)
  })
  const placed = moved(patterns, changes)
  return {
    patterns: placed,
    stretches: whole.map((stretch, k) => {
      const before = whole[k - 1]
      const [from, to] = [before && placed[before.mode], placed[stretch.mode]]
      return { ...stretch, restedNs: from && to ? restBetween(from, to) : 0 }
    }),
  }
}

/** A mode begins with the first read of a frame: what comes before that is none of it. */
function fromFirstRead(
  stretch: ModeStretch,
  patterns: readonly Pattern[],
  startsNs: Float64Array,
): ModeStretch {
  const pattern = patterns[stretch.mode] as Pattern
  if (pattern.apartNs !== null) return stretch
  const { firstRead } = placeOfFrame([...startsNs.subarray(stretch.from, stretch.to)], pattern)
  const reads = pattern.fields.readOffsetsNs.length
  return { ...stretch, from: stretch.from + ((reads - firstRead) % reads) }
}

/** Nothing where one of the two is not tied to the frame. */
function changeOf(
  before: ModeStretch,
  next: ModeStretch,
  patterns: readonly Pattern[],
  startsNs: Float64Array,
): Change[] {
  const [from, to] = [patterns[before.mode] as Pattern, patterns[next.mode] as Pattern]
  if (from.apartNs !== null || to.apartNs !== null) return []
  const reads = 24 * from.fields.readOffsetsNs.length
  const ended = [...startsNs.subarray(Math.max(before.from, before.to - reads), before.to)]
  const begun = [...startsNs.subarray(next.from, next.to)]
  const ns = placeOfFrame(begun, to).atNs - placeOfFrame(ended, from).atNs
  // The clock of the capture may be off against that of the standard.
  const onClock = ns * (frameNs(from.fields.standard) / from.periodNs)
  return [{ from: before.mode, to: next.mode, ns: onClock - (opensNs(to) - opensNs(from)) }]
}

/** The shortest time from the place of a frame's first read to its first edge, in ns. */
const opensNs = ({ fields, shapes }: Pattern): number => opensAfter(shapes[0] as Shape, fields.rest).minNs

/** The patterns with their reads where they stand in the one frame, as far as that is told. */
function moved(patterns: readonly Pattern[], changes: readonly Change[]): Pattern[] {
  const tied = patterns.find(({ apartNs }) => apartNs === null)
  if (tied === undefined) return [...patterns]
  const frame = frameNs(tied.fields.standard)
  const inFrame = (ns: number): number => ns - frame * Math.floor(ns / frame)
  const places: (readonly [leastNs: number, mostNs: number] | undefined)[] = []
  places[patterns.indexOf(tied)] = [0, 0]
  for (let turns = 0; turns < patterns.length; turns++)
    for (const { from, to, ns } of changes) {
      placeFrom(from, to, ns)
      placeFrom(to, from, -ns)
    }
  function placeFrom(from: number, to: number, ns: number): void {
    const [known, other] = [places[from], places[to]]
    if (known === undefined) return
    const atNs = inFrame(known[0] + ns)
    if (other === undefined) places[to] = [atNs, atNs]
    else if (from !== to && Math.abs(atNs - other[0]) <= SAME_NS)
      places[to] = [Math.min(atNs, other[0]), Math.max(atNs, other[1])]
  }
  const originNs = originOf(patterns, places, frame)
  return patterns.map((pattern, mode) => {
    const place = places[mode]
    if (pattern.apartNs !== null || place === undefined) return pattern
    const atNs = Math.floor(inFrame(place[0] - originNs))
    const offsetsNs = pattern.fields.readOffsetsNs.map((ns) => ns + atNs)
    return (offsetsNs.at(-1) ?? 0) >= frame ? pattern : at(pattern, offsetsNs, Math.ceil(place[1] - place[0]))
  })
}

/** A place for the beginning of the frame: no mode has reads on both sides of it, and all come soon after it. */
function originOf(
  patterns: readonly Pattern[],
  places: readonly (readonly [number, number] | undefined)[],
  frame: number,
): number {
  const all = patterns.flatMap(({ fields }, mode) => {
    const place = places[mode]
    return place === undefined ? [] : [{ atNs: place[0], lastsNs: fields.readOffsetsNs.at(-1) ?? 0 }]
  })
  const awayNs = (originNs: number): number =>
    all.reduce((sum, { atNs, lastsNs }) => {
      const inFrame = atNs - originNs - frame * Math.floor((atNs - originNs) / frame)
      const isSplit = inFrame + lastsNs >= frame
      return sum + inFrame + (isSplit ? all.length * frame : 0)
    }, 0)
  return all
    .map(({ atNs }) => atNs)
    .reduce((best, originNs) => (awayNs(originNs) < awayNs(best) ? originNs : best), all[0]?.atNs ?? 0)
}

/** A pattern with its reads at other places, each up to so much later. */
function at(pattern: Pattern, offsetsNs: readonly number[], laterNs: number): Pattern {
  const { fields, shapes } = pattern
  const { rest, standard, clockPpm, readJitterNs } = fields
  const lateNs = Math.min(TITLE_LIMITS.maxReadJitterNs, readJitterNs + laterNs)
  return {
    ...pattern,
    fields: commonFields({ rest, standard, everyFrames: 1, shapes, offsetsNs, lateNs, ppm: clockPpm }),
  }
}

/** The shortest time from the last edge of one mode to the first of the next, in ns, as the title goes on from one to the other. */
function restBetween(from: Pattern, to: Pattern): number {
  if (from.apartNs !== null || to.apartNs !== null)
    return MODE_CHANGE_NS + guessSample((to.shapes[0] as Shape).edgeSpacingNs.minNs).minNs + opensNs(to)
  const { standard, clockPpm, readOffsetsNs, readJitterNs, rest } = from.fields
  const { cyclesPerRead, edgeSpacingNs } = from.shapes.at(-1) as Shape
  const readNs = (2 * cyclesPerRead - (rest === 'high' ? 0 : 1)) * edgeSpacingNs.maxNs
  const apartNs = frameNs(standard) + (to.fields.readOffsetsNs[0] ?? 0) - (readOffsetsNs.at(-1) ?? 0)
  return atLeastNs(apartNs, Math.max(clockPpm, to.fields.clockPpm)) + opensNs(to) - readJitterNs - readNs
}
