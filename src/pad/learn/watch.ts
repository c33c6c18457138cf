import { EMPTY, asHat, isDiscrete, placeValue } from './places.ts'
import type { ReportPlace } from './places.ts'

/** A place left its rest clearly when it moved by so much of its range on that side, */
const CLEAR = 0.3
/** and is back below this. */
const BACK = 0.2
/** What moves by so much of its range while nothing is touched never rests. */
const RESTLESS = 0.25
/** The range on one side of a rest is no less than this share of the whole. */
const LEAST_SIDE = 0.25
/** A rest that wanders no faster than this, in shares of the range a second, is followed: drift, slow counters. */
const FOLLOW_PER_SECOND = 0.03
/** So many steps in one direction, all alike, are counting. */
const COUNT_STEPS = 6

/** More different values than this need not be told apart. */
const MOST_VALUES = 16

/** A byte that had so many values in a row is a number, and its bits are no buttons. */
const NUMBER_VALUES = 6
/** A byte read with a sign rests around 0, or it is none with a sign. */
const SIGNED_REST = 64

/** Why a place is not looked at. The last two are guesses at undescribed bytes that turned out wrong. */
export type Aside = 'counts' | 'restless' | 'stuck' | 'number' | 'unsigned'

/** What a place did during one press. */
export interface PressTrace {
  /** How long it was clearly away from rest. */
  readonly awayMs: number
  /** The largest share of its range, 0 … 1, */
  readonly share: number
  /** the value that it had then; where a value tells no distance, the one that it had for the longest time. */
  readonly value: number
  /** Middle of its rest before. */
  readonly rest: number
  /** Width of its noise at rest. */
  readonly noise: number
  /** How far it went there and back, by all that it moved: 1 for a straight way, less for wrapping and noise. */
  readonly straightness: number
  /** How often it changed, and to how many values. */
  readonly changes: number
  readonly values: number
}

/** One place, watched: what it is at rest, and what it does while the user presses. */
export class Watch {
  /** As it seems to be by what it said so far. */
  place: ReportPlace
  discrete: boolean
  readonly #range: number
  value: number | null = null
  aside: Aside | null = null
  away = false
  #low = 0
  #high = 0
  #rests = false
  // While the rest is taken.
  #steps: number[] = []
  // During a press.
  #awayMs = 0
  #share = 0
  #peak = 0
  #travel = 0
  #changes = 0
  #reach = 0
  #values = new Set<number>()
  #msAt = new Map<number, number>()

  constructor(place: ReportPlace) {
    this.place = place
    this.discrete = isDiscrete(place)
    this.#range = place.most - place.least
  }

  /** Middle of the rest. */
  get rest(): number {
    return (this.#low + this.#high) / 2
  }

  get noise(): number {
    return this.#high - this.#low
  }

  beginRest(): void {
    this.aside = null
    this.away = false
    this.#rests = false
    this.#steps = []
    this.#values = new Set()
    if (this.value !== null) this.#low = this.#high = this.value
  }

  endRest(): void {
    if (this.value !== null) {
      this.#rests = true
      if (this.#countingStep() !== null) this.aside = 'counts'
      else if (
        this.place.kind === 'raw-byte' &&
        this.place.field.signed &&
        Math.abs(this.rest) >= SIGNED_REST
      ) {
        this.aside = 'unsigned'
      } else if (this.discrete ? this.noise > 0 : this.noise > RESTLESS * this.#range) this.aside = 'restless'
    } else if (this.place.kind === 'button' || this.place.kind === 'array' || this.place.kind === 'raw-bit') {
      // A report that comes only when something is pressed: at rest it says nothing.
      this.#low = this.#high = EMPTY
      this.#rests = true
    }
  }

  /** The step of a counter, if the place was one while the rest was taken. */
  #countingStep(): number | null {
    const size = 2 ** this.place.field.bits
    const [first, ...others] = this.#steps.map((step) => ((step % size) + size) % size)
    if (first === undefined || others.length + 1 < COUNT_STEPS || this.discrete) return null
    return others.every((step) => step === first) ? first : null
  }

  /** Bits of this place that a counter moves: offsets from its first bit on. */
  get countingFrom(): number | null {
    const step = this.aside === 'counts' ? this.#countingStep() : null
    return step === null ? null : Math.log2(step & -step)
  }

  /** A byte that moved by many values, and not by counting. */
  get isNumber(): boolean {
    return this.place.kind === 'raw-byte' && this.aside !== 'counts' && this.#values.size >= NUMBER_VALUES
  }

  /** Where it is now is its rest from here on. */
  takeRest(): void {
    if (this.value !== null) this.#moveRest(this.value - this.rest)
    this.away = false
  }

  /** A browser may show such an axis at 0 until it is first moved (from memory): that was no rest. */
  #becomeHat(nothing: number): void {
    this.place = asHat(this.place)
    this.discrete = true
    this.value = this.#low = this.#high = nothing
    this.away = false
    this.#steps = []
  }

  #moveRest(by: number): void {
    this.#low += by
    this.#high += by
  }

  beginPress(): void {
    this.#awayMs = this.#share = this.#travel = this.#changes = this.#reach = 0
    this.#peak = this.rest
    this.#values = new Set()
    this.#msAt = new Map()
  }

  /** Time passed with the value as it was. */
  pass(ms: number, following: boolean): void {
    if (this.value === null) return
    if (this.away) {
      this.#awayMs += ms
      if (this.discrete || this.place.nothing !== undefined)
        this.#msAt.set(this.value, (this.#msAt.get(this.value) ?? 0) + ms)
    } else if (following && !this.discrete && this.#rests) {
      const most = (FOLLOW_PER_SECOND * this.#range * ms) / 1000
      if (this.value > this.#high) this.#moveRest(Math.min(most, this.value - this.#high))
      else if (this.value < this.#low) this.#moveRest(-Math.min(most, this.#low - this.value))
    }
  }

  /** A report came. `resting`: the rest is being taken. */
  take(data: Uint8Array, resting: boolean): void {
    const value = placeValue(this.place, data)
    if (value === this.place.nothing && !this.discrete) this.#becomeHat(value)
    const before = this.value
    if (value === before && (resting || this.#rests)) return
    this.value = value
    if (this.#values.size < MOST_VALUES) this.#values.add(value)
    if (resting) {
      if (before === null) this.#low = this.#high = value
      else if (value !== before) this.#steps.push(value - before)
      this.#low = Math.min(this.#low, value)
      this.#high = Math.max(this.#high, value)
      return
    }
    if (!this.#rests) {
      // The first that is heard of it; a hat says by its value whether it rests.
      const { kind, least, most } = this.place
      this.#low = this.#high = kind === 'hat' && value >= least && value <= most ? least - 1 : value
      this.#rests = true
    }
    if (before !== null && before !== value) {
      this.#travel += Math.abs(value - before)
      this.#changes++
      this.#reach = Math.max(this.#reach, Math.abs(value - this.rest))
    }
    const share = this.#shareOf(value)
    this.away = share >= (this.away ? BACK : CLEAR)
    if (share > this.#share) {
      this.#share = share
      this.#peak = value
    }
  }

  /** How far from rest, as a share of the range on that side. */
  #shareOf(value: number): number {
    const { kind, least, most } = this.place
    if (value >= this.#low && value <= this.#high) return 0
    if (this.discrete) return kind === 'hat' && (value < least || value > most) ? 0 : 1
    const rest = this.rest
    // Beside an end of the range the side has no length to speak of: what moves there is noise.
    const span = Math.max(value > rest ? most - rest : rest - least, LEAST_SIDE * this.#range)
    const distance = Math.abs(value - rest)
    return distance < 2 * this.noise ? 0 : Math.min(1, distance / span)
  }

  get #longest(): number | undefined {
    return [...this.#msAt].toSorted((a, b) => b[1] - a[1])[0]?.[0]
  }

  get trace(): PressTrace {
    return {
      awayMs: this.#awayMs,
      share: this.#share,
      value: this.discrete ? (this.#longest ?? this.#peak) : this.#peak,
      rest: this.rest,
      noise: this.noise,
      straightness: this.#travel === 0 ? 0 : Math.min(1, (2 * this.#reach) / this.#travel),
      changes: this.#changes,
      values: this.#values.size,
    }
  }
}
