/**
 * All values that a set of instants can have at once, where only their differences are bounded: for every two of them the most by
 * which the one can come after the other. Instants are whole nanoseconds, so every bound is closed and exact.
 *
 * The bounds are kept tight (shortest paths), so asking for one is looking it up, and a bound that contradicts the others is
 * found at once: the timed-automata way of reasoning with difference bounds (Dill, "Timing assumptions and verification of
 * finite-state concurrent systems", 1989; named from memory).
 */
export class Zone {
  #count = 0
  /**
   * The most by which instant `i` can come after instant `j`, at `place(i, j)`. What an instant adds stands behind what was there
   * before it, so a zone of fewer instants is the beginning of the list: growing moves nothing and a copy holds no empty room.
   */
  #most: number[] = []

  /** Number of instants; they are told by their index from 0. */
  get count(): number {
    return this.#count
  }

  copy(): Zone {
    const other = new Zone()
    other.#count = this.#count
    other.#most = this.#most.slice(0, this.#count * this.#count)
    return other
  }

  /** The instant that nothing is known of but itself; only for the first one. @returns its index */
  origin(): number {
    if (this.#count > 0) throw new Error('a zone has one origin')
    this.#count = 1
    this.#most[0] = 0
    return 0
  }

  /** A new instant from `minNs` to `maxNs` after another. @returns its index */
  after(base: number, minNs: number, maxNs: number): number {
    const most = this.#most
    const at = this.#count++
    let next = at * at
    for (let k = 0; k < at; k++) most[next++] = maxNs + (most[place(base, k)] as number)
    most[next++] = 0
    for (let k = at - 1; k >= 0; k--) most[next++] = (most[place(k, base)] as number) - minNs
    return at
  }

  /** The most by which `later` can come after `earlier`, in ns; below 0 when it always comes before. */
  most(later: number, earlier: number): number {
    return this.#most[place(later, earlier)] as number
  }

  /** The least by which `later` comes after `earlier`, in ns. */
  least(later: number, earlier: number): number {
    return 0 - (this.#most[place(earlier, later)] as number)
  }

  /** Whether `later` can come `byNs` or less after `earlier`. */
  canBeWithin(later: number, earlier: number, byNs: number): boolean {
    return this.least(later, earlier) <= byNs
  }

  /** Keeps only what has `later` come `byNs` or less after `earlier`. @returns whether anything is left */
  bound(later: number, earlier: number, byNs: number): boolean {
    if (this.most(later, earlier) <= byNs) return true
    if (this.least(later, earlier) > byNs) return false
    const most = this.#most
    const count = this.#count
    for (let i = 0; i < count; i++) {
      const viaNs = (most[place(i, later)] as number) + byNs
      // What does not come nearer to `earlier` comes nearer to nothing on the way over it.
      if (viaNs >= (most[place(i, earlier)] as number)) continue
      for (let j = 0; j < count; j++) {
        const throughNs = viaNs + (most[place(earlier, j)] as number)
        const at = place(i, j)
        if (throughNs < (most[at] as number)) most[at] = throughNs
      }
    }
    return true
  }

  /** Forgets an instant if it is the latest; what it says of the others stays. */
  forgetLast(instant: number): void {
    if (instant === this.#count - 1) this.#count--
  }

  /** The zone of these instants alone, in this order. */
  of(instants: readonly number[]): Zone {
    const zone = new Zone()
    const most: number[] = []
    for (let before = 0; before < instants.length; before++) {
      const i = instants[before] as number
      for (let k = 0; k < before; k++) most.push(this.most(i, instants[k] as number))
      most.push(0)
      for (let k = before - 1; k >= 0; k--) most.push(this.most(instants[k] as number, i))
    }
    zone.#count = instants.length
    zone.#most = most
    return zone
  }

  /** Whether all that this zone allows is allowed by the other, too; both of as many instants. */
  isWithin(other: Zone): boolean {
    for (let k = this.#count * this.#count - 1; k >= 0; k--) {
      if ((this.#most[k] as number) > (other.#most[k] as number)) return false
    }
    return true
  }

  /** This zone and the other together, if that is a zone; both are of as many instants. `null` where it is not. */
  united(other: Zone): Zone | null {
    const count = this.#count
    const hull = this.#most.map((ns, k) => Math.max(ns, other.#most[k] ?? ns))
    // All that this zone leaves out, beyond one of its bounds after another, has to lie in the other.
    for (let i = 0; i < count; i++) {
      for (let j = 0; j < count; j++) {
        const ns = this.#most[place(i, j)] as number
        if (ns < (hull[place(i, j)] as number) && !isBeyondWithin(hull, i, j, ns, other.#most, count))
          return null
      }
    }
    const both = new Zone()
    both.#count = count
    both.#most = hull
    return both
  }

  /** The earliest that all instants can be when the origin is at 0: that is one of the timings of the zone. */
  earliestNs(): number[] {
    return Array.from({ length: this.#count }, (_, k) => this.least(k, 0))
  }
}

/** Where the bound on `i` after `j` stands: a square for the instants up to the later one, its row first and then its column, backwards. */
const place = (i: number, j: number): number => (i > j ? i * i + j : j * j + 2 * j - i)

/** Whether a zone allows all that the tight bounds `most` allow `count` instants with `i` more than `ns` after `j`. */
function isBeyondWithin(
  most: readonly number[],
  i: number,
  j: number,
  ns: number,
  zone: readonly number[],
  count: number,
): boolean {
  for (let p = 0; p < count; p++) {
    const viaNs = (most[place(p, j)] as number) - ns - 1
    for (let q = 0; q < count; q++) {
      const at = place(p, q)
      const mostNs = Math.min(most[at] as number, viaNs + (most[place(i, q)] as number))
      if (mostNs > (zone[at] as number)) return false
    }
  }
  return true
}
