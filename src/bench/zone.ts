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
  #room: number
  /** `#most[i * #room + j]`: the most by which instant `i` can come after instant `j`. */
  #most: Float64Array

  constructor(room = 32) {
    this.#room = room
    this.#most = new Float64Array(room * room)
  }

  /** Number of instants; they are told by their index from 0. */
  get count(): number {
    return this.#count
  }

  copy(): Zone {
    const other = new Zone(this.#room)
    other.#count = this.#count
    other.#most.set(this.#most)
    return other
  }

  /** The instant that nothing is known of but itself; only for the first one. @returns its index */
  origin(): number {
    if (this.#count > 0) throw new Error('a zone has one origin')
    this.#count = 1
    return 0
  }

  /** A new instant from `minNs` to `maxNs` after another. @returns its index */
  after(base: number, minNs: number, maxNs: number): number {
    if (this.#count === this.#room) this.#grow()
    const room = this.#room
    const most = this.#most
    const at = this.#count++
    for (let k = 0; k < at; k++) {
      most[at * room + k] = maxNs + (most[base * room + k] as number)
      most[k * room + at] = (most[k * room + base] as number) - minNs
    }
    most[at * room + at] = 0
    return at
  }

  /** The most by which `later` can come after `earlier`, in ns; below 0 when it always comes before. */
  most(later: number, earlier: number): number {
    return this.#most[later * this.#room + earlier] as number
  }

  /** The least by which `later` comes after `earlier`, in ns. */
  least(later: number, earlier: number): number {
    return 0 - (this.#most[earlier * this.#room + later] as number)
  }

  /** Whether `later` can come `byNs` or less after `earlier`. */
  canBeWithin(later: number, earlier: number, byNs: number): boolean {
    return this.least(later, earlier) <= byNs
  }

  /** Keeps only what has `later` come `byNs` or less after `earlier`. @returns whether anything is left */
  bound(later: number, earlier: number, byNs: number): boolean {
    if (this.most(later, earlier) <= byNs) return true
    if (this.least(later, earlier) > byNs) return false
    const room = this.#room
    const most = this.#most
    const count = this.#count
    for (let i = 0; i < count; i++) {
      const viaNs = (most[i * room + later] as number) + byNs
      for (let j = 0; j < count; j++) {
        const throughNs = viaNs + (most[earlier * room + j] as number)
        if (throughNs < (most[i * room + j] as number)) most[i * room + j] = throughNs
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
    const zone = new Zone(Math.max(32, instants.length + 8))
    zone.#count = instants.length
    instants.forEach((i, row) => {
      instants.forEach((j, column) => {
        zone.#most[row * zone.#room + column] = this.most(i, j)
      })
    })
    return zone
  }

  /** Whether all that this zone allows is allowed by the other, too; both of as many instants. */
  isWithin(other: Zone): boolean {
    for (let i = 0; i < this.#count; i++) {
      for (let j = 0; j < this.#count; j++) if (this.most(i, j) > other.most(i, j)) return false
    }
    return true
  }

  /** The earliest that all instants can be when the origin is at 0: that is one of the timings of the zone. */
  earliestNs(): number[] {
    return Array.from({ length: this.#count }, (_, k) => this.least(k, 0))
  }

  #grow(): void {
    const room = this.#room * 2
    const most = new Float64Array(room * room)
    for (let i = 0; i < this.#count; i++) {
      most.set(this.#most.subarray(i * this.#room, i * this.#room + this.#count), i * room)
    }
    this.#room = room
    this.#most = most
  }
}
