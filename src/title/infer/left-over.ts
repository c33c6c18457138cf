import type { LeftOver, Stretch } from '../left-over.ts'
import { HIGH, UNKNOWN } from '../select-line.ts'
import type { Noted, SelectLine } from '../select-line.ts'
import { TITLE_LIMITS } from '../title-limits.ts'
import { findOddSpans, LONG_REST_NS } from './odd-spans.ts'
import type { Part } from './odd-spans.ts'
import { cutAtRests, firstKnown, isKnown, longestRestNs } from './spans.ts'
import type { Span } from './spans.ts'

/** Stretches are alike whose times between edges differ by no more than this, in ns, or by this share. */
const ALIKE_NS = 1_000
const ALIKE_SHARE = 0.2
/** Most edges that are kept of all stretches together: written out they take a third of the file at the most. */
const MOST_EDGES = 4_096

export interface FoundLeftOver {
  readonly leftOver: LeftOver
  readonly noted: Noted
  /** How many edges are in what is odd, those of reads that follow it not counted. */
  readonly edges: number
}

/**
 * What a capture shows and no read of a title explains: every edge of a line is in a read that the title does, or in one of these stretches.
 *
 * @param parts what is about to be written of it
 */
export function findLeftOver(line: SelectLine, parts: readonly Part[]): FoundLeftOver {
  const kept = new Kept(Math.max(ALIKE_NS, Math.ceil(line.sampledNs ?? 0)))
  const rises = new Rises(line)
  let count = 0
  let edges = 0
  let firstNs = line.endNs
  for (const span of findOddSpans(line, parts))
    for (const part of withinLimits(line, span)) {
      if (!span.isAfter && count++ === 0) firstNs = line.timesNs[part.first] ?? 0
      if (!span.isAfter) edges += part.last - part.first + 1
      const stretch = stretchOf(line, part, rises.before(part.first))
      if (stretch === null) kept.more++
      else kept.add(stretch)
    }
  // What came after the last edge that was read may be anything.
  if (line.full) {
    kept.more++
    count++
  }
  return { leftOver: kept.leftOver, noted: { count, firstNs }, edges }
}

/** A stretch in parts that a title file can hold, as far as it has rests to be cut at. Each part says how long before it the last rise was. */
function withinLimits(line: SelectLine, span: Span): Span[] {
  if (isWithin(line, span)) return [span]
  const restNs = longestRestNs(line, span) / 2
  return cutAtRests(line, span, Math.max(restNs, 1))
}

const isWithin = ({ timesNs }: SelectLine, { first, last }: Span): boolean =>
  last - first < TITLE_LIMITS.stretchEdges &&
  (timesNs[last] ?? 0) - (timesNs[first] ?? 0) < TITLE_LIMITS.stretchNs

/** `null` where a title file cannot hold it. */
function stretchOf(line: SelectLine, span: Span, sinceRiseNs: number | null): Omit<Stretch, 'seen'> | null {
  if (!isWithin(line, span) || !isKnown(line, span)) return null
  const { timesNs, levels } = line
  const { first, last } = span
  const firstNs = timesNs[first] ?? 0
  return {
    startLevel: levels[first] === HIGH ? 'low' : 'high',
    edgesNs: Array.from(timesNs.subarray(first, last + 1), (ns) => Math.round(ns - firstNs)),
    sinceRiseNs,
  }
}

/** When the line last rose, asked for from the start of a line to its end. */
class Rises {
  #next: number
  #riseNs: number | null = null

  constructor(private readonly line: SelectLine) {
    this.#next = firstKnown(line) + 1
  }

  /** The shortest that it can be since the last rise before this change, in ns; `null`: not known. */
  before(change: number): number | null {
    const { timesNs, levels } = this.line
    for (; this.#next < change; this.#next++) {
      const isRise = levels[this.#next] === HIGH
      // A line at an unknown level may have risen up to where it is known again.
      if (isRise || levels[this.#next - 1] === UNKNOWN) this.#riseNs = timesNs[this.#next] ?? 0
    }
    const atNs = timesNs[change] ?? 0
    if (this.#riseNs !== null) return Math.floor(atNs - this.#riseNs)
    const knownNs = Math.floor(atNs - (timesNs[firstKnown(this.line)] ?? 0))
    return knownNs >= LONG_REST_NS ? knownNs : null
  }
}

/**
 * Stretches with those that are alike as one, which has the shortest of each time: what a pad counts on through a longer one it counts on through a
 * shorter one, so no later reply is lost.
 */
class Kept {
  more = 0
  #edges = 0
  readonly #stretches: {
    readonly startLevel: Stretch['startLevel']
    /** Times between the edges of the first one. */
    readonly firstNs: readonly number[]
    leastNs: readonly number[]
    since: number | null
    seen: number
  }[] = []

  constructor(private readonly alikeNs: number) {}

  add({ sinceRiseNs, ...stretch }: Omit<Stretch, 'seen'>): void {
    const gapsNs = gapsOf(stretch.edgesNs)
    const known = this.#stretches.find(
      (other) =>
        // What nobody knows is judged otherwise.
        (other.since === null) === (sinceRiseNs === null) &&
        other.startLevel === stretch.startLevel &&
        this.#isAlike(other.firstNs, gapsNs),
    )
    if (known) {
      known.seen++
      known.leastNs = known.leastNs.map((ns, k) => Math.min(ns, gapsNs[k] as number))
      if (sinceRiseNs !== null && known.since !== null) known.since = Math.min(known.since, sinceRiseNs)
      return
    }
    const edges = this.#edges + stretch.edgesNs.length
    if (this.#stretches.length === TITLE_LIMITS.stretches || edges > MOST_EDGES) {
      this.more++
      return
    }
    this.#edges = edges
    const { startLevel } = stretch
    this.#stretches.push({ startLevel, firstNs: gapsNs, leastNs: gapsNs, since: sinceRiseNs, seen: 1 })
  }

  get leftOver(): LeftOver {
    return {
      stretches: this.#stretches.map(({ startLevel, leastNs, since, seen }) => ({
        startLevel,
        edgesNs: edgesOf(leastNs),
        sinceRiseNs: since,
        seen,
      })),
      more: this.more,
    }
  }

  #isAlike(one: readonly number[], other: readonly number[]): boolean {
    return (
      one.length === other.length &&
      one.every((ns, k) => {
        const mostNs = Math.max(this.alikeNs, ALIKE_SHARE * Math.min(ns, other[k] as number))
        return Math.abs(ns - (other[k] as number)) <= mostNs
      })
    )
  }
}

const gapsOf = (edgesNs: readonly number[]): number[] =>
  edgesNs.slice(1).map((ns, k) => Math.max(1, ns - (edgesNs[k] as number)))

const edgesOf = (gapsNs: readonly number[]): number[] =>
  gapsNs.reduce((edges, ns) => [...edges, (edges.at(-1) as number) + ns], [0])
