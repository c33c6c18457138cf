import { frameNs } from '../../port/clocks.ts'
import type { RangeNs } from '../../port/range.ts'
import type { ShortTitle } from '../short-title.ts'
import { opensAfter } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { atLeastNs, atMostNs } from '../tolerance.ts'

/** What of a title says when edges may come. */
export type Timing = Pick<ShortTitle, 'standard' | 'readOffsetsNs' | 'readJitterNs' | 'clockPpm' | 'rest'> & {
  /** Of each read of the frame. */
  readonly shapes: readonly Shape[]
  /** After so many frames its reads come again. */
  readonly everyFrames: number
  /** From the last edge before a read to its first one, where no frame ties it. */
  readonly apartNs?: RangeNs
}

/** Follows a capture read by read through what a title may do. */
export interface Walk {
  /** The title is in its longest rest for at least so long, in ns. */
  readonly longestRestNs: number
  /**
   * A read came.
   *
   * @param firstEdges for each read of the frame when its first edge came, if it is this one: a range where the capture does not show it, `null` where it is not of
   * that shape
   */
  meet(firstEdges: readonly (RangeNs | null)[]): Met
  /** Something came that is not a read of the title. */
  interrupt(): Pick<Met, 'leavesFrame'>
  /** Whether a read of the frame should have come until then, and has not. */
  lacks(atNs: number): boolean
}

/** Reads that no frame ties come as soon after one another as was seen: all that has their shape is one of them. */
export const freeWalk = ({ minNs }: RangeNs): Walk => ({
  longestRestNs: minNs,
  meet: () => ({ fits: true, opensFrame: true, leavesFrame: false }),
  interrupt: () => ({ leavesFrame: false }),
  lacks: () => false,
})

/** Where a read of the frame, from 0, may have its place on the capture's clock. */
interface Place extends RangeNs {
  readonly read: number
}

/** What a read that begins at some time is to the title: its next one, or none of it. */
export interface Met {
  readonly fits: boolean
  /** Whether it can be the first read of a frame. */
  readonly opensFrame: boolean
  /** Whether the frame before it lacks reads. */
  readonly leavesFrame: boolean
}

/** Places of reads are rounded to whole ns, both of the two that a distance lies between. */
const ROUNDED_NS = 2

/** After so many frames a clock may be off by a millisecond or more: what comes then is at no known place. */
const MOST_SKIPPED = 600

/**
 * Follows a capture read by read through what a title may do, over all places that its reads can have. Whole frames may be skipped, single reads
 * of a frame may not. After something that the title does not do, it goes on from where it was, or from the odd read.
 */
export class TitleWalk implements Walk {
  /** From the place of each read to its first edge. */
  readonly #opens: readonly RangeNs[]
  readonly #reads: number
  /** From the place of each read to that of the next, on the title's clock with all that it may be off. */
  readonly #toNext: readonly RangeNs[]
  /** Or as many frames as its reads come again after. */
  readonly #frame: RangeNs
  /** What the last read can have been. */
  #now: readonly Place[] = []
  /** The same for the last read before something odd came; empty where nothing did. */
  #before: readonly Place[] = []

  constructor(private readonly timing: Timing) {
    const { standard, everyFrames, readOffsetsNs, clockPpm, shapes, rest } = timing
    const onClock = (ns: number): RangeNs => ({
      minNs: atLeastNs(ns - ROUNDED_NS, clockPpm),
      maxNs: atMostNs(ns + ROUNDED_NS, clockPpm),
    })
    this.#opens = shapes.map((shape) => opensAfter(shape, rest))
    this.#reads = readOffsetsNs.length
    const turnNs = everyFrames * frameNs(standard)
    this.#frame = onClock(turnNs)
    const roundNs = turnNs + (readOffsetsNs[0] ?? 0)
    this.#toNext = readOffsetsNs.map((ns, read) => onClock((readOffsetsNs[read + 1] ?? roundNs) - ns))
  }

  get longestRestNs(): number {
    const { readJitterNs, shapes } = this.timing
    return Math.max(
      ...this.#toNext.map(({ minNs }, read) => {
        const { cyclesPerRead, edgeSpacingNs } = shapes[read] as Shape
        const readNs = (2 * cyclesPerRead - 1) * edgeSpacingNs.maxNs
        const next = this.#opens[(read + 1) % this.#reads] as RangeNs
        return minNs + next.minNs - readJitterNs - (this.#opens[read] as RangeNs).maxNs - readNs
      }),
    )
  }

  meet(firstEdges: readonly (RangeNs | null)[]): Met {
    const fresh = firstEdges.map((firstEdge, read) => firstEdge && this.#placeOf(firstEdge, read))
    const all = fresh.filter((place) => place !== null)
    const isFirst = this.#now.length === 0 && this.#before.length === 0
    const next = isFirst
      ? all
      : [
          ...this.#after(this.#now, fresh),
          ...this.#after(this.#before, fresh),
          ...this.#restarts(this.#before, fresh),
        ]
    if (next.length > 0) {
      this.#now = merged(next)
      this.#before = []
      return { fits: true, opensFrame: next.some(({ read }) => read === 0), leavesFrame: false }
    }
    const anew = this.#restarts(this.#now, fresh)
    const { leavesFrame } = this.interrupt()
    if (anew.length > 0) {
      this.#now = merged(anew)
      this.#before = []
      return { fits: true, opensFrame: true, leavesFrame }
    }
    this.#now = all
    return { fits: false, opensFrame: true, leavesFrame }
  }

  interrupt(): Pick<Met, 'leavesFrame'> {
    const leavesFrame = this.#now.length > 0 && !this.#now.some(({ read }) => read === this.#reads - 1)
    if (this.#before.length === 0) this.#before = this.#now
    this.#now = []
    return { leavesFrame }
  }

  lacks(atNs: number): boolean {
    if (this.#now.length === 0) return false
    return this.#now.every((place) => {
      if (place.read === this.#reads - 1) return false
      const next = this.#toNext[place.read] as RangeNs
      const opens = this.#opens[place.read + 1] as RangeNs
      return place.maxNs + next.maxNs + this.timing.readJitterNs + opens.maxNs < atNs
    })
  }

  #placeOf(firstEdge: RangeNs, read: number): Place {
    return {
      read,
      minNs: firstEdge.minNs - this.timing.readJitterNs - (this.#opens[read] as RangeNs).maxNs,
      maxNs: firstEdge.maxNs - (this.#opens[read] as RangeNs).minNs,
    }
  }

  /** What the read that follows can be, of all that it could be by its own time. */
  #after(from: readonly Place[], fresh: readonly (Place | null)[]): Place[] {
    return from.flatMap((place) => {
      const next = this.#toNext[place.read] as RangeNs
      const moved = { minNs: place.minNs + next.minNs, maxNs: place.maxNs + next.maxNs }
      const isLast = place.read === this.#reads - 1
      const to = fresh[isLast ? 0 : place.read + 1] ?? null
      if (to === null) return []
      return isLast ? this.#framesOn(moved, to, 0) : meet(moved, to)
    })
  }

  /** Frames that begin anew after one that was left unfinished. */
  #restarts(from: readonly Place[], [to = null]: readonly (Place | null)[]): Place[] {
    if (to === null) return []
    const { readOffsetsNs, clockPpm } = this.timing
    const [first = 0] = readOffsetsNs
    return from.flatMap((place) => {
      const backNs = (readOffsetsNs[place.read] ?? 0) - first
      const opened = {
        minNs: place.minNs - atMostNs(backNs + ROUNDED_NS, clockPpm),
        maxNs: place.maxNs - atLeastNs(backNs - ROUNDED_NS, clockPpm),
      }
      return this.#framesOn(opened, to, 1)
    })
  }

  /** The place of a first read, so many frames on or more. */
  #framesOn(from: RangeNs, to: Place, least: number): Place[] {
    const frames = Math.max(least, Math.ceil((to.minNs - from.maxNs) / this.#frame.maxNs))
    if (frames > MOST_SKIPPED) return []
    return meet(
      {
        minNs: from.minNs + frames * this.#frame.minNs,
        maxNs: from.maxNs + frames * this.#frame.maxNs,
      },
      to,
    )
  }
}

function meet(one: RangeNs, other: Place): Place[] {
  const minNs = Math.max(one.minNs, other.minNs)
  const maxNs = Math.min(one.maxNs, other.maxNs)
  return minNs <= maxNs ? [{ read: other.read, minNs, maxNs }] : []
}

/** One place for each read: all of them lie within how late the read can be, so what is between them can be, too. */
function merged(places: readonly Place[]): Place[] {
  const byRead = new Map<number, Place>()
  for (const place of places) {
    const known = byRead.get(place.read) ?? place
    byRead.set(place.read, {
      read: place.read,
      minNs: Math.min(known.minNs, place.minNs),
      maxNs: Math.max(known.maxNs, place.maxNs),
    })
  }
  return [...byRead.values()]
}
