import type { Alarm, Timeline } from './timeline.ts'
import { ChipTrap } from './trap.ts'

/** The switch takes its time to ramp up; off, what hangs on VBUS keeps it up for a while (common practice, no source). */
const RISE_NS = 500_000
const FALL_NS = 15_000_000
/** So long is too much current borne before the switch says so and limits it (common practice, no source). */
const FAULT_NS = 5_000_000

export interface VbusSurroundings {
  readonly time: Timeline
  /** What the sense pin sees, and what the pad gets of our switch. */
  changed(vbus: { readonly sensed: boolean; readonly ours: boolean }): void
  /** The fault line, open drain: true pulls it down. */
  fault(pulled: boolean): void
}

/**
 * VBUS of the one connector: from a computer outside, or from our own switch, which limits the current and blocks what would flow
 * back. Sense sees either.
 */
export class Vbus {
  #outside = false
  #on = false
  #ours = false
  #overloaded = false
  #fault = false
  readonly #ramp: Alarm
  readonly #trip: Alarm

  constructor(private readonly around: VbusSurroundings) {
    this.#ramp = around.time.createAlarm(() => {
      this.#ours = this.#on && !this.#fault
      this.#tell()
    })
    this.#trip = around.time.createAlarm(() => {
      this.#fault = true
      this.#ours = false
      around.fault(true)
      this.#tell()
    })
  }

  get switchedOn(): boolean {
    return this.#on
  }

  /** Whether VBUS stands by our switch. */
  get ours(): boolean {
    return this.#ours
  }

  setOutside(present: boolean): void {
    this.#outside = present
    this.#tell()
  }

  /** What hangs on the connector draws more than the switch gives. */
  setOverloaded(overloaded: boolean): void {
    this.#overloaded = overloaded
    this.#watch()
  }

  /** The firmware works the switch. */
  setSwitch(on: boolean): void {
    if (on === this.#on) return
    if (on && this.#outside) throw new ChipTrap('the VBUS switch is turned on while VBUS comes from outside')
    this.#on = on
    this.#ramp.schedule(on ? RISE_NS : FALL_NS)
    if (!on && this.#fault) {
      this.#fault = false
      this.around.fault(false)
    }
    this.#watch()
  }

  #watch(): void {
    if (this.#on && this.#overloaded && !this.#fault) this.#trip.schedule(FAULT_NS)
    else this.#trip.cancel()
  }

  #tell(): void {
    this.around.changed({ sensed: this.#outside || this.#ours, ours: this.#ours })
  }
}
