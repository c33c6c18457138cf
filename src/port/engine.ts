import { SelectCounter } from './counter.ts'
import type { KnownLevel, Level, PinBits } from './pins.ts'

/**
 * Who answers behind the port. The engine keeps the count and the time; the replier knows the cells and what is held.
 */
export interface Replier {
  /** Time without a rising edge of select after which the count starts afresh, in nanoseconds. */
  readonly idleResetNs: number
  /** Deliberate delay between what select does and what the pins show of it, in nanoseconds. */
  readonly delayNs: number
  /** The pins after `rises` rises at `level`, with what is held at this moment. */
  pinsAt(rises: number, level: Level): PinBits
  /** A read has ended (an idle reset reaches the pins); what advances once a read advances now. */
  readEnded(): void
}

/** What stands on the six pins; `null` while select is not known. */
export type Pins = PinBits | null

/** From `atNs` on, `pins` stand on the port. */
export interface PinChange {
  readonly atNs: number
  readonly pins: Pins
}

interface Seen {
  readonly atNs: number
  readonly rises: number
  readonly level: KnownLevel
  /** This is an idle reset: with it a read ends. */
  readonly endsRead: boolean
}

/**
 * The port in time: fed with select edges at integer nanoseconds, it tells every change of the six pins.
 *
 * The reply is a function of the rises since the last reset and the present level. The idle reset comes on the spot,
 * whatever the level, when `idleResetNs` have passed since the last rise; a rise at that very instant comes after it.
 * A level that is not known gives pins that are not known, and neither leaving nor entering it is a rise.
 * The deliberate delay shifts all that the pins show of select, the end of a read included, and nothing else.
 *
 * Times given to the methods must not go backwards.
 */
export class PortEngine {
  readonly #counter: SelectCounter
  #visible: Pick<Seen, 'rises' | 'level'>
  #onItsWay: Seen[] = []
  #changes: PinChange[] = []

  /**
   * @param replier what answers
   * @param level level of select at `atNs`, from which no edge is counted
   * @param atNs where time begins
   */
  constructor(
    private readonly replier: Replier,
    level: KnownLevel,
    atNs = 0,
  ) {
    this.#counter = new SelectCounter(replier.idleResetNs, level)
    this.#visible = { rises: 0, level }
    this.#changes.push({ atNs, pins: this.pins })
  }

  /** What stands on the pins now. */
  get pins(): Pins {
    const { rises, level } = this.#visible
    return level === 'unknown' ? null : this.replier.pinsAt(rises, level)
  }

  /** Rises since the last reset, as counted now (the pins follow after the delay). */
  get rises(): number {
    return this.#counter.rises
  }

  get level(): KnownLevel {
    return this.#counter.level
  }

  /** When the next idle reset comes if no rise comes before it; `null` when there is none to come. */
  get nextResetNs(): number | null {
    return this.#counter.nextResetNs
  }

  /** Every change so far, in order of time, at most one at each instant; the first entry is the start. */
  get changes(): readonly PinChange[] {
    return this.#changes
  }

  /** Select is at `level` from `atNs` on. */
  select(atNs: number, level: KnownLevel): void {
    this.advance(atNs)
    if (this.#counter.select(atNs, level)) this.#show(atNs, false)
  }

  /** Something outside select changes what is held, at `atNs`; the pins follow at once. */
  press(atNs: number, act: () => void): void {
    this.advance(atNs)
    act()
    this.#note(atNs)
  }

  /** Lets time pass up to and including `toNs`. */
  advance(toNs: number): void {
    for (;;) {
      const resetNs = this.nextResetNs ?? Infinity
      const arrivalNs = this.#onItsWay[0]?.atNs ?? Infinity
      const nextNs = Math.min(resetNs, arrivalNs)
      if (nextNs > toNs) return
      // Where an earlier edge arrives at the very instant of a reset, the edge is the older of the two.
      if (arrivalNs <= resetNs) {
        this.#arrive(this.#onItsWay.shift() as Seen)
      } else {
        this.#counter.resetBy(resetNs)
        this.#show(resetNs, true)
      }
    }
  }

  /** What select does, or fails to do, at `atNs` reaches the pins after the delay. */
  #show(atNs: number, endsRead: boolean): void {
    const { rises, level } = this.#counter
    const seen = { atNs: atNs + this.replier.delayNs, rises, level, endsRead }
    if (this.replier.delayNs > 0) this.#onItsWay.push(seen)
    else this.#arrive(seen)
  }

  #arrive(seen: Seen): void {
    this.#visible = seen
    if (seen.endsRead) this.replier.readEnded()
    this.#note(seen.atNs)
  }

  #note(atNs: number): void {
    const pins = this.pins
    const last = this.#changes[this.#changes.length - 1] as PinChange
    if (last.atNs === atNs) {
      this.#changes.pop()
      const before = this.#changes[this.#changes.length - 1]
      if (before !== undefined && before.pins === pins) return
    } else if (last.pins === pins) return
    this.#changes.push({ atNs, pins })
  }
}
