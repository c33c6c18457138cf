import { TITLE_LIMITS } from '../title-limits.ts'
import { usualOf } from './counts.ts'
import type { Noted } from '../select-line.ts'
import { Slope } from './slope.ts'

/** Reads put into frames. */
export interface Frames {
  /** As the reads of usual frames have it, strays left out; not rounded. */
  readonly periodNs: number
  /** Reads in the usual frame. */
  readonly readsPerFrame: number
  /** Frames with as many reads as usual. */
  readonly usual: number
  /** Frames from the first to the last that have a read. */
  readonly spanned: number
  /** Frames in between without a read. */
  readonly skipped: Noted
  /** Frames with more reads or fewer; a first and a last frame that the capture cuts are not counted. */
  readonly uneven: Noted
  /** Earliest first edge of each read in usual frames, from that of the first read. */
  readonly placesNs: readonly number[]
  /** Reads of usual frames at each place, by where they stand among all reads; strays left out. */
  readonly readsAt: readonly (readonly number[])[]
  /** How much later than its place a first edge comes, at the most. */
  readonly lateNs: number
  /** The same with strays: from the earliest first edge of a place to the latest. */
  readonly spreadNs: number
  /** Reads that come so much later, or earlier, that no title's jitter covers it; they are left out of the two above. */
  readonly strays: number
}

interface Read {
  /** Its place among all reads. */
  readonly k: number
  readonly frame: number
  /** From the beginning of the frame. */
  readonly placeNs: number
}

/** The stretch in which the reads of one place begin. */
interface Window {
  readonly fromNs: number
  readonly lateNs: number
  /** Reads outside it. */
  readonly strays: number
}

const NO_WINDOW: Window = { fromNs: 0, lateNs: 0, strays: 0 }

const BINS = 512
/** A part of the frame in which fewer frames than this share have a read is empty. */
const STRAY_SHARE = 0.02

/**
 * Puts reads into frames. Edges do not show where a frame begins, so it is taken to begin in the middle of the longest part in
 * which there is no read.
 *
 * @param startsNs first edges of reads, ascending
 */
export const groupFrames = (startsNs: Float64Array, periodNs: number): Frames =>
  group(startsNs, group(startsNs, periodNs).periodNs)

function group(startsNs: Float64Array, periodNs: number): Frames {
  const beginNs = longestRest(startsNs, periodNs)
  const frames = new Map<number, Read[]>()
  startsNs.forEach((ns, k) => {
    const frame = Math.floor((ns - beginNs) / periodNs)
    const read = { k, frame, placeNs: ns - beginNs - frame * periodNs }
    const known = frames.get(frame)
    if (known) known.push(read)
    else frames.set(frame, [read])
  })
  const numbers = [...frames.keys()]
  const readsPerFrame = usualOf([...frames.values()].map(({ length }) => length))
  const firstNumber = numbers[0] ?? 0
  const lastNumber = numbers.at(-1) ?? 0

  const skipped = { count: 0, firstNs: 0 }
  const uneven = { count: 0, firstNs: 0 }
  const note = (noted: { count: number; firstNs: number }, count: number, number: number) => {
    if (noted.count === 0 && count > 0) noted.firstNs = Math.round(beginNs + number * periodNs)
    noted.count += count
  }
  const columns: Read[][] = Array.from({ length: readsPerFrame }, () => [])
  let before = firstNumber
  for (const [number, reads] of frames) {
    note(skipped, Math.max(0, number - before - 1), before + 1)
    before = number
    if (reads.length === readsPerFrame) reads.forEach((read, place) => columns[place]?.push(read))
    else if (number !== firstNumber && number !== lastNumber) note(uneven, 1, number)
  }
  const windows = columns.map((reads) => windowOf(reads.map(({ placeNs }) => placeNs)))
  const drift = new Slope()
  const placed = columns.map((reads, k) => {
    const { fromNs, lateNs } = windows[k] ?? NO_WINDOW
    return reads.filter(({ placeNs }) => placeNs >= fromNs && placeNs <= fromNs + lateNs)
  })
  for (const reads of placed) {
    drift.startLine()
    for (const { frame, placeNs } of reads) drift.add(frame, placeNs)
  }
  const originNs = windows[0]?.fromNs ?? 0
  return {
    periodNs: periodNs + (drift.value ?? 0),
    readsPerFrame,
    usual: columns[0]?.length ?? 0,
    spanned: lastNumber - firstNumber + 1,
    skipped,
    uneven,
    placesNs: windows.map(({ fromNs }) => fromNs - originNs),
    readsAt: placed.map((reads) => reads.map(({ k }) => k)),
    lateNs: Math.max(...windows.map(({ lateNs }) => lateNs)),
    spreadNs: Math.max(...columns.map((reads) => spreadOf(reads))),
    strays: windows.reduce((sum, { strays }) => sum + strays, 0),
  }
}

function spreadOf(reads: readonly Read[]): number {
  let [leastNs, mostNs] = [Infinity, 0]
  for (const { placeNs } of reads) [leastNs, mostNs] = [Math.min(leastNs, placeNs), Math.max(mostNs, placeNs)]
  return Math.max(0, mostNs - leastNs)
}

/** The middle of the longest part of the period, on the capture's clock, in which no read begins. */
function longestRest(startsNs: Float64Array, periodNs: number): number {
  const firstNs = startsNs[0] ?? 0
  const reads = new Uint32Array(BINS)
  for (const ns of startsNs) {
    const phase = ((ns - firstNs) / periodNs) % 1
    const bin = Math.min(BINS - 1, Math.floor(phase * BINS))
    reads[bin] = (reads[bin] ?? 0) + 1
  }
  const frames = ((startsNs.at(-1) ?? 0) - firstNs) / periodNs
  const most = Math.max(Math.min(...reads), STRAY_SHARE * frames)
  let longest = 0
  let end = 0
  let length = 0
  // Twice round, as the part may lie across the end.
  for (let bin = 0; bin < 2 * BINS; bin++) {
    length = (reads[bin % BINS] ?? 0) <= most ? length + 1 : 0
    if (length > longest) [longest, end] = [length, bin + 1]
  }
  return firstNs + ((end - longest / 2) / BINS) * periodNs - 2 * periodNs
}

/** The stretch, no longer than any title's jitter, in which most reads of one place begin. */
function windowOf(placesNs: readonly number[]): Window {
  const sorted = Float64Array.from(placesNs).sort()
  let best = { from: 0, to: 0 }
  let from = 0
  sorted.forEach((ns, to) => {
    while (ns - (sorted[from] ?? 0) > TITLE_LIMITS.maxReadJitterNs) from++
    if (to - from > best.to - best.from) best = { from, to }
  })
  const fromNs = sorted[best.from] ?? 0
  return {
    fromNs,
    lateNs: (sorted[best.to] ?? 0) - fromNs,
    strays: sorted.length - (best.to - best.from + 1),
  }
}
