import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import { HIGH, LOW } from '../select-line.ts'
import type { SelectLine } from '../select-line.ts'
import { longestPhaseNs } from './shapes.ts'
import type { Shape } from './shapes.ts'
import { cutAtRests, firstKnown, isKnown } from './spans.ts'
import type { Span } from './spans.ts'
import { freeWalk, TitleWalk } from './title-walk.ts'
import type { Timing, Walk } from './title-walk.ts'

/**
 * A rest, in ns, that no pad counts on through: their idle resets come 1.1 to 1.8 ms after the last rise (from memory). What is odd before it does not
 * change what a pad answers after it.
 */
export const LONG_REST_NS = 4_000_000

/** What a line does from one long rest to the next, and a title does not. */
export interface OddSpan extends Span {
  /** Reads of the title that come after something odd and sooner than after the title's longest rest: what was counted there may go on. */
  readonly isAfter: boolean
}

const ODD = 1
const AFTER_ODD = 2

/** Where a line is held against one pattern: from its first edge there, in ns, up to what comes after it. */
export interface Part {
  readonly fromNs: number
  readonly untilNs: number
  readonly timing: Timing
  /** The least rest before it, in ns, that a title leaves when it goes on to this from the part before it. */
  readonly restedNs: number
}

/** One pattern in all of a line. */
export const throughout = (timing: Timing): readonly Part[] => [
  { fromNs: -Infinity, untilNs: Infinity, timing, restedNs: 0 },
]

/** What of a line is odd, with the reads around it. Nothing where the title does all of it. What lies in no part is odd. */
export function findOddSpans(line: SelectLine, parts: readonly Part[]): OddSpan[] {
  const first = firstKnown(line) + 1
  const last = line.timesNs.length - 1
  if (first > last) return []
  // A phase of a read is not a rest, however long it is.
  const restNs = Math.max(LONG_REST_NS, ...parts.map(({ timing }) => longestPhaseNs(timing.shapes) + 1))
  const spans = cutAtRests(line, { first, last }, restNs)
  const odd = new Uint8Array(spans.length)
  const held = new HeldLine(line, parts, first)
  let opened = 0
  spans.forEach((span, k) => {
    const { is, leavesFrame, opensFrame } = held.take(span)
    if (leavesFrame) odd.fill(ODD, opened, k)
    odd[k] = is
    if (opensFrame) opened = k
  })
  if (held.endsInFrame()) odd.fill(ODD, opened)
  return spans.flatMap((span, k) => (odd[k] ? [{ ...span, isAfter: odd[k] === AFTER_ODD }] : []))
}

/** Changes of a span that lie in one part, or in none. */
interface Piece extends Span {
  readonly part: Part | null
}

/** What a span, or a piece of it, is to the title. */
interface Taken {
  readonly isOdd: boolean
  readonly leavesFrame: boolean
  readonly opensFrame: boolean
}

/** A line held against a title, span by span. */
class HeldLine {
  /** How far the parts have come. */
  #next = 0
  #part: Part | null = null
  #walk: Walk | null = null
  /** Whether the title has not rested since something odd as long as it does in its longest rest: what was counted may go on. */
  #isUnrested = false

  constructor(
    private readonly line: SelectLine,
    private readonly parts: readonly Part[],
    private readonly first: number,
  ) {}

  take(span: Span): Omit<Taken, 'isOdd'> & { readonly is: number } {
    const restedNs = this.#restedBefore(span)
    let [isOdd, leavesFrame, opensFrame] = [false, false, false]
    if (!isKnown(this.line, span)) {
      isOdd = true
      leavesFrame = this.#walk?.interrupt().leavesFrame ?? false
      this.#rest(restedNs)
    } else {
      for (const piece of this.#pieces(span)) {
        const left = this.#enter(piece.part)
        leavesFrame ||= left
        if (piece.first === span.first) this.#rest(restedNs)
        else isOdd ||= left
        const taken = this.#take(piece)
        isOdd ||= taken.isOdd
        leavesFrame ||= taken.leavesFrame
        opensFrame ||= taken.opensFrame
      }
    }
    const is = isOdd ? ODD : this.#isUnrested ? AFTER_ODD : 0
    if (isOdd) this.#isUnrested = true
    return { is, leavesFrame, opensFrame }
  }

  /** Whether the capture ends with a frame that lacks a read. */
  endsInFrame(): boolean {
    return this.#walk?.lacks(this.line.endNs) ?? false
  }

  #restedBefore({ first }: Span): number {
    return (this.line.timesNs[first] ?? 0) - (this.line.timesNs[first - 1] ?? 0)
  }

  #rest(restedNs: number): void {
    if (restedNs >= (this.#walk?.longestRestNs ?? Infinity)) this.#isUnrested = false
  }

  *#pieces({ first, last }: Span): Generator<Piece> {
    const { timesNs } = this.line
    for (let from = first; from <= last;) {
      const fromNs = timesNs[from] ?? 0
      while (this.#next < this.parts.length && fromNs >= (this.parts[this.#next] as Part).untilNs)
        this.#next++
      const next = this.parts[this.#next]
      const isIn = next !== undefined && fromNs >= next.fromNs
      const endNs = next === undefined ? Infinity : isIn ? next.untilNs : next.fromNs
      let to = from
      while (to < last && (timesNs[to + 1] ?? 0) < endNs) to++
      yield { first: from, last: to, part: isIn ? next : null }
      from = to + 1
    }
  }

  /** Whether that leaves a frame unfinished. */
  #enter(part: Part | null): boolean {
    if (part === this.#part) return false
    const leavesFrame = this.#walk?.interrupt().leavesFrame ?? false
    this.#part = part
    this.#walk =
      part === null
        ? null
        : part.timing.apartNs === undefined
          ? new TitleWalk(part.timing)
          : freeWalk(part.timing.apartNs)
    return leavesFrame
  }

  #take(piece: Piece): Taken {
    const { part } = piece
    const walk = this.#walk
    if (part === null || walk === null) return { isOdd: true, leavesFrame: false, opensFrame: false }
    let isOdd = piece.first > this.first && isFirstOf(part, this.line, piece) && this.#isTooSoon(piece, part)
    let [leavesFrame, opensFrame] = [false, false]
    for (const burst of cutAtRests(this.line, piece, longestPhaseNs(part.timing.shapes) + 1)) {
      const firstEdges = part.timing.shapes.map((shape) => this.#firstEdge(burst, shape, part.timing.rest))
      const met = firstEdges.every((edge) => edge === null) ? null : walk.meet(firstEdges)
      if (!met?.fits) isOdd = true
      leavesFrame ||= (met ?? walk.interrupt()).leavesFrame
      opensFrame ||= met?.opensFrame ?? false
    }
    return { isOdd, leavesFrame, opensFrame }
  }

  /** Whether a part comes sooner after the one before it than the title goes on to it. */
  #isTooSoon(piece: Piece, { restedNs }: Part): boolean {
    return this.#restedBefore(piece) < restedNs
  }

  /** How many edges of the read the capture cuts off before these; `null` where they are no read, as far as the capture goes. */
  #missingOf({ first, last }: Span, { cyclesPerRead, edgeSpacingNs }: Shape, rest: Level): number | null {
    const { timesNs, levels, endNs } = this.line
    const { minNs, maxNs } = edgeSpacingNs
    const resting = rest === 'high' ? HIGH : LOW
    const missing = 2 * cyclesPerRead - (last - first + 1)
    if (missing < 0) return null
    for (let k = first + 1; k <= last; k++) {
      const phaseNs = (timesNs[k] ?? 0) - (timesNs[k - 1] ?? 0)
      if (phaseNs < minNs || phaseNs > maxNs) return null
    }
    const opens = levels[first - 1] === resting
    const closes = levels[last] === resting
    if (missing === 0) return opens && closes ? 0 : null
    const isCutBefore =
      first === this.first && (timesNs[first] ?? 0) - (timesNs[first - 1] ?? 0) <= maxNs && closes
    if (isCutBefore) return missing
    const isCutAfter = last === timesNs.length - 1 && endNs - (timesNs[last] ?? 0) <= maxNs && opens
    return isCutAfter ? 0 : null
  }

  /** When the first edge came of a read that the capture may cut off before these; `null` where they are none of that shape. */
  #firstEdge(span: Span, shape: Shape, rest: Level): RangeNs | null {
    const missing = this.#missingOf(span, shape, rest)
    if (missing === null) return null
    const { minNs, maxNs } = shape.edgeSpacingNs
    const atNs = this.line.timesNs[span.first] ?? 0
    return { minNs: atNs - missing * maxNs, maxNs: atNs - missing * minNs }
  }
}

const isFirstOf = ({ fromNs }: Part, { timesNs }: SelectLine, { first }: Span): boolean =>
  (timesNs[first - 1] ?? 0) < fromNs
