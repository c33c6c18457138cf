import type { Pattern } from './patterns.ts'

/** Where the frames of a stretch stand. */
export interface FramePlace {
  /** First edge of the first read of one of its frames, as early as it ever comes. */
  readonly atNs: number
  /** Which read of its frame the first one of the stretch is. */
  readonly firstRead: number
}

/** Reads that are looked at, for each in a frame. */
const FRAMES = 24
/** By so much a place can seem to be off, in ns: two samples of an analyser, and what a clock drifts meanwhile. */
const OFF_NS = 5_000

/** @param startsNs first edges of reads that follow each other */
export function placeOfFrame(startsNs: readonly number[], { fields, periodNs }: Pattern): FramePlace {
  const { readOffsetsNs, readJitterNs } = fields
  const seen = startsNs.slice(0, FRAMES * readOffsetsNs.length)
  const placed = seen.slice(0, readOffsetsNs.length).map((originNs) => {
    const reads = seen.map((ns) => {
      const inFrameNs = ns - originNs - periodNs * Math.floor((ns - originNs) / periodNs)
      // The read of the origin itself may have been late, so another can come a little before the end of a frame.
      const lateNs = (ns: number): number => {
        const away = inFrameNs - ns
        return away > periodNs / 2 ? away - periodNs : away
      }
      const read = readOffsetsNs.findIndex((ns) => Math.abs(lateNs(ns)) <= readJitterNs + OFF_NS)
      return read === -1 ? null : { read, lateNs: lateNs(readOffsetsNs[read] ?? 0) }
    })
    const fitting = reads.filter((one) => one !== null)
    return {
      fits: fitting.length,
      atNs: originNs + Math.min(0, ...fitting.map(({ lateNs }) => lateNs)),
      firstRead: reads[0]?.read ?? 0,
    }
  })
  return placed.reduce((best, one) => (one.fits > best.fits ? one : best))
}
