const BINS_PER_OCTAVE = 16
/** Enough for 2^53 ns. */
const BINS = 53 * BINS_PER_OCTAVE + 2

/** Counts lengths of time in bins a 16th of an octave wide: quantiles of any number of them, in a few kilobytes. */
export class Histogram {
  readonly #bins = new Float64Array(BINS)
  #count = 0

  get count(): number {
    return this.#count
  }

  /** @param ns from 0 to 2^53 */
  add(ns: number): void {
    const bin = ns < 1 ? 0 : 1 + Math.floor(BINS_PER_OCTAVE * Math.log2(ns))
    this.#bins[bin] = (this.#bins[bin] ?? 0) + 1
    this.#count++
  }

  /** A length, in ns, that the given share of all stay below: too long by 4.5 % at the most. 0 where nothing was added. */
  quantile(share: number): number {
    let below = 0
    for (let bin = 0; bin < BINS; bin++) {
      below += this.#bins[bin] ?? 0
      if (below > 0 && below >= share * this.#count) return 2 ** (bin / BINS_PER_OCTAVE)
    }
    return 0
  }
}
