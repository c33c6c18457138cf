/** Length of one cycle of the 125 MHz system clock; every instant of the emulation is a multiple of it. */
export const CYCLE_NS = 8

/** The first instant of the emulation at or after `ns`. */
export const atCycle = (ns: number): number => Math.ceil(ns / CYCLE_NS) * CYCLE_NS

/** Something that happens once, at an instant. */
export class Alarm {
  atNs = 0
  scheduled = false

  constructor(
    private readonly timeline: Timeline,
    readonly run: () => void,
  ) {}

  /** Happens `deltaNs` from now, instead of when it was due before. */
  schedule(deltaNs: number): void {
    this.cancel()
    this.atNs = atCycle(this.timeline.nanos + deltaNs)
    this.timeline.insert(this)
  }

  cancel(): void {
    if (this.scheduled) this.timeline.remove(this)
  }
}

/** Emulated time and what is to happen in it, in integer nanoseconds. It is the clock that rp2040js asks for. */
export class Timeline {
  nanos = 0
  /** In order of time, those of one instant in order of scheduling. */
  readonly #alarms: Alarm[] = []

  createAlarm(run: () => void): Alarm {
    return new Alarm(this, run)
  }

  /** When the next alarm is due, or infinity. */
  get nextNs(): number {
    const next = this.#alarms[0]
    return next === undefined ? Infinity : next.atNs
  }

  /** Lets time pass to `toNs`, running every alarm at its own instant. */
  advanceTo(toNs: number): void {
    for (let next = this.#alarms[0]; next !== undefined && next.atNs <= toNs; next = this.#alarms[0]) {
      this.#alarms.shift()
      next.scheduled = false
      if (next.atNs > this.nanos) this.nanos = next.atNs
      next.run()
    }
    this.nanos = toNs
  }

  insert(alarm: Alarm): void {
    alarm.scheduled = true
    let at = this.#alarms.length
    while (at > 0 && (this.#alarms[at - 1] as Alarm).atNs > alarm.atNs) at -= 1
    this.#alarms.splice(at, 0, alarm)
  }

  remove(alarm: Alarm): void {
    alarm.scheduled = false
    const at = this.#alarms.indexOf(alarm)
    if (at >= 0) this.#alarms.splice(at, 1)
  }
}
