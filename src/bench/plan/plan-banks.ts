import { isRight } from '../judgement.ts'
import type { Judgement, Verdict } from '../judgement.ts'
import { bitSet, countBits, countNew, hasBit, union } from './bit-set.ts'
import type { BitSet } from './bit-set.ts'

/** What a plan needs to know of a profile in front of a title. */
export type Fit = Pick<Judgement, 'verdict' | 'marginNs'>

/** What is not decided is not served until it is. */
const RANKS: Record<Verdict, number> = { misread: 0, undecided: 1, tight: 2, clean: 3 }
export const isServed = (fit: Fit): boolean => isRight(fit)
/** Time to spare in ns; where no timing can hurt there is no end of it. */
const marginOf = ({ marginNs }: Fit): number => marginNs ?? Infinity

/** Above zero where `p` serves better than `q`: the better verdict, then the larger margin. All misreads are alike. */
export function compareFits(p: Fit, q: Fit): number {
  const byVerdict = RANKS[p.verdict] - RANKS[q.verdict]
  if (byVerdict !== 0 || !isServed(p)) return byVerdict
  const [ours, theirs] = [marginOf(p), marginOf(q)]
  return ours === theirs ? 0 : ours - theirs
}

export interface BankChoice {
  /** Rows of the table, at most as many as there are banks; the one for bank 1 first. */
  readonly chosen: readonly number[]
  /** Branches that the search went into, for showing that it is a bounded one. */
  readonly nodes: number
}

/** How good a choice is; compared in this order. */
interface Score {
  readonly served: number
  readonly size: number
  readonly clean: number
  /** Least margin over the titles served, each by what serves it best. */
  readonly marginNs: number
}

const NOTHING: Score = { served: 0, size: 0, clean: 0, marginNs: Infinity }

const beats = (p: Score, q: Score): boolean => {
  if (p.served !== q.served) return p.served > q.served
  if (p.size !== q.size) return p.size < q.size
  if (p.clean !== q.clean) return p.clean > q.clean
  return p.marginNs > q.marginNs
}

/**
 * The profiles that serve the most titles with no more than `banks` banks, and of those the fewest; among plans with as
 * few, the one with more clean reads, then the one with the larger least margin. Exact; the same table gives the same plan.
 *
 * Branch and bound. A profile that another equals or beats in front of every title is left out first: putting the other
 * in its place never makes a plan worse.
 *
 * @param table a row for each profile, in it a fit for each title
 */
export function planBanks(table: readonly (readonly Fit[])[], banks = 4): BankChoice {
  const search = new Search(table, banks)
  return { chosen: search.best().sort(byUse(table)), nodes: search.nodes }
}

/** Bank 1 is what power-on gives, so what serves the most titles comes first. */
const byUse = (table: readonly (readonly Fit[])[]) => (p: number, q: number) => {
  const count = (row: number, wanted: (fit: Fit) => boolean) => table[row]?.filter(wanted).length ?? 0
  const isClean = ({ verdict }: Fit) => verdict === 'clean'
  return count(q, isServed) - count(p, isServed) || count(q, isClean) - count(p, isClean) || p - q
}

const dominates = (p: readonly Fit[], q: readonly Fit[]): boolean =>
  p.every((fit, title) => compareFits(fit, q[title] as Fit) >= 0)

/** Rows that serve something and that no other makes needless; of equal rows the first. */
const undominated = (table: readonly (readonly Fit[])[]): number[] =>
  table.flatMap((row, k) => {
    const needless = table.some(
      (other, at) => at !== k && dominates(other, row) && (at < k || !dominates(row, other)),
    )
    return row.some(isServed) && !needless ? [k] : []
  })

const sumOfLargest = (values: readonly number[], most: number): number =>
  [...values]
    .sort((p, q) => q - p)
    .slice(0, most)
    .reduce((sum, value) => sum + value, 0)

class Search {
  nodes = 0
  readonly #titles: number
  readonly #served = new Map<number, BitSet>()
  readonly #clean = new Map<number, BitSet>()
  readonly #servable: number
  #best: readonly number[] = []
  #score = NOTHING

  constructor(
    private readonly table: readonly (readonly Fit[])[],
    private readonly banks: number,
  ) {
    this.#titles = table[0]?.length ?? 0
    const set = (row: readonly Fit[], wanted: (fit: Fit) => boolean) =>
      bitSet(this.#titles, (title) => wanted(row[title] as Fit))
    for (const k of undominated(table)) {
      const row = table[k] as readonly Fit[]
      this.#served.set(k, set(row, isServed))
      this.#clean.set(
        k,
        set(row, ({ verdict }) => verdict === 'clean'),
      )
    }
    this.#servable = countBits(this.#union(this.#served.keys()))
  }

  best(): number[] {
    this.#visit([], [...this.#served.keys()])
    return [...this.#best]
  }

  #union(rows: Iterable<number>, sets = this.#served): BitSet {
    let all = bitSet(this.#titles, () => false)
    for (const k of rows) all = union(all, sets.get(k) as BitSet)
    return all
  }

  /** Everything that begins with `chosen` and goes on with some of `allowed`. */
  #visit(chosen: readonly number[], allowed: readonly number[]): void {
    this.nodes++
    const covered = this.#union(chosen)
    this.#consider(chosen, covered)
    if (chosen.length === this.banks) return
    const gain = (k: number) => countNew(this.#served.get(k) as BitSet, covered)
    // In a plan with as few profiles as can be, each serves a title that no other does.
    let left = allowed.filter((k) => gain(k) > 0)
    for (const k of this.#branches(left, covered).sort((p, q) => gain(q) - gain(p) || p - q)) {
      if (!this.#mayBeat(chosen, covered, left)) return
      left = left.filter((other) => other !== k)
      this.#visit([...chosen, k], left)
    }
  }

  /**
   * Once all titles that can be served are, a plan that does not serve them all is none: it has to hold one of the profiles
   * that serve the title that the fewest do.
   */
  #branches(allowed: readonly number[], covered: BitSet): number[] {
    if (this.#score.served < this.#servable) return [...allowed]
    let fewest = [...allowed]
    for (let title = 0; title < this.#titles; title++) {
      if (hasBit(covered, title)) continue
      const servers = allowed.filter((k) => hasBit(this.#served.get(k) as BitSet, title))
      const canBe = servers.length > 0 || this.#isServable(title)
      if (canBe && servers.length < fewest.length) fewest = servers
    }
    return fewest
  }

  #isServable(title: number): boolean {
    return this.table.some((row) => isServed(row[title] as Fit))
  }

  #consider(chosen: readonly number[], covered: BitSet): void {
    const score: Score = {
      served: countBits(covered),
      size: chosen.length,
      clean: countBits(this.#union(chosen, this.#clean)),
      marginNs: this.#leastMargin(chosen),
    }
    if (!beats(score, this.#score)) return
    this.#score = score
    this.#best = chosen
  }

  #leastMargin(chosen: readonly number[]): number {
    let leastNs = Infinity
    for (let title = 0; title < this.#titles; title++) {
      const fit = bestFit(chosen.map((k) => this.#fit(k, title)))
      if (fit !== null) leastNs = Math.min(leastNs, marginOf(fit))
    }
    return leastNs
  }

  #fit(k: number, title: number): Fit {
    return this.table[k]?.[title] as Fit
  }

  /** Whether `chosen` with some of `allowed` could still beat the best that is known: a bound for each part of the score. */
  #mayBeat(chosen: readonly number[], covered: BitSet, allowed: readonly number[]): boolean {
    const room = this.banks - chosen.length
    const gains = allowed.map((k) => countNew(this.#served.get(k) as BitSet, covered))
    const now = countBits(covered)
    const most = Math.min(now + sumOfLargest(gains, room), countBits(union(covered, this.#union(allowed))))
    const best = this.#score
    if (most !== best.served) return most > best.served
    let more = 0
    while (more < room && now + sumOfLargest(gains, more) < best.served) more++
    if (chosen.length + more !== best.size) return chosen.length + more < best.size

    const clean = this.#union(chosen, this.#clean)
    const cleanGains = allowed.map((k) => countNew(this.#clean.get(k) as BitSet, clean))
    const mostClean = countBits(clean) + sumOfLargest(cleanGains, more)
    if (mostClean !== best.clean) return mostClean > best.clean
    return this.#mostMargin(chosen, covered, allowed) > best.marginNs
  }

  /** No title that is served already can have more to spare than the best that is within reach gives it. */
  #mostMargin(chosen: readonly number[], covered: BitSet, allowed: readonly number[]): number {
    let mostNs = Infinity
    for (let title = 0; title < this.#titles; title++) {
      if (!hasBit(covered, title)) continue
      const margins = [...chosen, ...allowed].map((k) => this.#fit(k, title)).filter(isServed)
      mostNs = Math.min(mostNs, Math.max(...margins.map(marginOf)))
    }
    return mostNs
  }
}

/** The best of several fits that serve, or `null` where none does. */
export const bestFit = <F extends Fit>(fits: readonly F[]): F | null =>
  fits
    .filter(isServed)
    .reduce<F | null>((best, fit) => (best === null || compareFits(fit, best) > 0 ? fit : best), null)
