import type { SelectLine } from '../select-line.ts'
import { findBursts } from './bursts.ts'
import type { Burst } from './bursts.ts'
import { findOddSpans, throughout } from './odd-spans.ts'
import { tiedToFrames, timingOf } from './patterns.ts'
import type { Pattern } from './patterns.ts'
import { partOf } from './spans.ts'

/** Bursts that follow each other, from one up to before another, all of which one pattern explains. */
export interface Stretch {
  readonly from: number
  readonly to: number
  readonly pattern: Pattern
}

/** So long a stretch, in ns, shows a pattern by itself: eight frames, or as many reads of one that reads every fourth. */
const WINDOWS_NS = [170_000_000, 680_000_000]
const LEAST_FRAMES = 6
/** After so many bursts with which no stretch begins, the search goes on in larger steps. */
const MOST_SINGLE_STEPS = 24
const MISSES_PER_STEP = 64
/** Most stretches, and most bursts that are looked at for them again and again. */
const MOST_STRETCHES = 512
const MOST_WORK = 8_000_000
/** What a look at a few bursts takes, in bursts. */
const LEAST_WORK = 256

/**
 * Cuts a line where its pattern changes: the longest stretches, one after the other, that are tied to frames and leave nothing over. What lies between them is none.
 */
export function cleanStretches(line: SelectLine, whole: readonly Burst[]): Stretch[] {
  return new Search(line, whole).run()
}

class Search {
  #work = 0
  readonly #found: Stretch[] = []

  constructor(
    private readonly line: SelectLine,
    private readonly whole: readonly Burst[],
  ) {}

  run(): Stretch[] {
    let from = 0
    let misses = 0
    while (from < this.whole.length && this.#found.length < MOST_STRETCHES && this.#work < MOST_WORK) {
      const first = this.#window(from)
      if (first === null) {
        from += ++misses < MOST_SINGLE_STEPS ? 1 : this.#step(from, misses)
        continue
      }
      const found = this.#backwards(this.#forwards(first), misses >= MOST_SINGLE_STEPS)
      this.#found.push(found)
      from = found.to
      misses = 0
    }
    return this.#found
  }

  /** The longer nothing begins, the further on it is looked for. */
  #step(from: number, misses: number): number {
    const quarter = (this.#endOf(from, WINDOWS_NS[0] as number) - from) >> 2
    return Math.max(1, quarter * Math.ceil(misses / MISSES_PER_STEP))
  }

  #window(from: number): Stretch | null {
    for (const ns of WINDOWS_NS) {
      const found = this.#fit(from, this.#endOf(from, ns))
      if (found !== null) return found
    }
    return null
  }

  /** As far as the pattern goes, by doubling and halving. */
  #forwards(first: Stretch): Stretch {
    let best = first
    let bad = this.whole.length + 1
    while (best.to < this.whole.length && bad > this.whole.length) {
      const to = Math.min(this.whole.length, best.from + 2 * (best.to - best.from))
      const found = this.#fit(best.from, to)
      if (found === null) bad = to
      else best = found
    }
    const odd = bad <= this.whole.length ? this.#firstOdd(best, bad) : bad
    for (const to of [odd, odd + 1]) {
      const found = to > best.to && to < bad ? this.#fit(best.from, to) : best
      if (found === null) bad = to
      else best = found
    }
    while (bad <= this.whole.length && bad - best.to > 1 && this.#work < MOST_WORK) {
      const found = this.#fit(best.from, (best.to + bad) >> 1)
      if (found === null) bad = (best.to + bad) >> 1
      else best = found
    }
    return best
  }

  /** The first burst that a pattern does not explain, where it goes on as it began: most often the one with which it ends. */
  #firstOdd({ from, pattern }: Stretch, to: number): number {
    const [first, last] = [this.whole[from], this.whole[to - 1]]
    if (first === undefined || last === undefined) return to
    const part = partOf(this.line, { first: first.first, last: last.first + last.edges - 1 })
    const [odd] = findOddSpans(part, throughout(timingOf(pattern)))
    if (odd === undefined) return to
    const at = this.whole.findIndex((burst, k) => k >= from && burst.first >= first.first - 1 + odd.first)
    return at === -1 ? to : at
  }

  /** From as early as the pattern goes, where larger steps can have gone past its beginning. */
  #backwards(found: Stretch, hasStepped: boolean): Stretch {
    let best = found
    let bad = (this.#found.at(-1)?.to ?? 0) - 1
    while (hasStepped && best.from - bad > 1 && this.#work < MOST_WORK) {
      const from = (best.from + bad) >> 1
      const longer = this.#fit(from, best.to)
      if (longer === null) bad = from
      else best = longer
    }
    return best
  }

  #fit(from: number, to: number): Stretch | null {
    this.#work += Math.max(LEAST_WORK, to - from)
    const [first, last] = [this.whole[from], this.whole[to - 1]]
    if (first === undefined || last === undefined) return null
    const part = partOf(this.line, { first: first.first, last: last.first + last.edges - 1 })
    const tied = tiedToFrames(part, findBursts(part))
    // Modes go on from one to another at the end of a frame, so one that comes again after several is none.
    if (!tied.ok || tied.value.frames < LEAST_FRAMES || tied.value.everyFrames > 1) return null
    const odd = findOddSpans(part, throughout(timingOf(tied.value)))
    return odd.length > 0 ? null : { from, to, pattern: tied.value }
  }

  /** The first burst that begins so long after another. */
  #endOf(from: number, ns: number): number {
    const startNs = (k: number): number => this.line.timesNs[this.whole[k]?.first ?? 0] ?? 0
    const untilNs = startNs(from) + ns
    let to = from
    while (to < this.whole.length && startNs(to) < untilNs) to++
    return to
  }
}
