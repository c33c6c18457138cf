import { RegisterBlock } from './register-block.ts'
import type { Alarm, Timeline } from './timeline.ts'
import { ChipTrap, hex } from './trap.ts'

const TIMEHW = 0x00
const TIMELW = 0x04
const TIMEHR = 0x08
const TIMELR = 0x0c
const ALARM0 = 0x10
const ARMED = 0x20
const TIMERAWH = 0x24
const TIMERAWL = 0x28
const DBGPAUSE = 0x2c
const PAUSE = 0x30
const INTR = 0x34
const INTE = 0x38
const INTF = 0x3c
const INTS = 0x40

/** The microsecond timer (RP2040 datasheet §4.6). It stands still until the watchdog's tick generator runs. */
export class Timer extends RegisterBlock {
  /** When the tick began, or null. */
  #startNs: number | null = null
  #latchedHigh = 0
  #armed = 0
  #intr = 0
  #inte = 0
  #intf = 0
  readonly #targets = [0, 0, 0, 0]
  readonly #alarms: readonly Alarm[]

  constructor(
    private readonly timeline: Timeline,
    private readonly interrupt: (alarm: number, wanted: boolean) => void,
    private readonly requireTick: () => void,
  ) {
    super()
    this.#alarms = [0, 1, 2, 3].map((k) => timeline.createAlarm(() => this.#fire(k)))
  }

  /** The tick generator was switched on. */
  start(): void {
    this.#startNs ??= this.timeline.nanos
  }

  reset(): void {
    this.#armed = this.#intr = this.#inte = this.#intf = 0
    for (const alarm of this.#alarms) alarm.cancel()
    if (this.#startNs !== null) this.#startNs = this.timeline.nanos
    this.#interrupts()
  }

  get #micros(): number {
    this.requireTick()
    return this.#startNs === null ? 0 : Math.floor((this.timeline.nanos - this.#startNs) / 1000)
  }

  override peek(offset: number): number {
    return offset === TIMELR ? this.#micros % 2 ** 32 : this.read(offset)
  }

  read(offset: number): number {
    switch (offset) {
      case TIMEHR:
        return this.#latchedHigh
      case TIMELR:
        this.#latchedHigh = Math.floor(this.#micros / 2 ** 32)
        return this.#micros % 2 ** 32
      case TIMERAWH:
        return Math.floor(this.#micros / 2 ** 32)
      case TIMERAWL:
        return this.#micros % 2 ** 32
      case ARMED:
        return this.#armed
      case DBGPAUSE:
      case PAUSE:
        return 0
      case INTR:
        return this.#intr
      case INTE:
        return this.#inte
      case INTF:
        return this.#intf
      case INTS:
        return (this.#intr & this.#inte) | this.#intf
      default:
        if (offset >= ALARM0 && offset < ARMED) return this.#targets[(offset - ALARM0) >> 2] as number
        throw new ChipTrap(`TIMER register ${hex(offset)} cannot be read here`)
    }
  }

  write(offset: number, value: number, raw: number): void {
    if (offset >= ALARM0 && offset < ARMED) return this.#arm((offset - ALARM0) >> 2, value)
    switch (offset) {
      case ARMED:
        this.#armed &= ~raw
        this.#alarms.forEach((alarm, k) => ((raw >> k) & 1 ? alarm.cancel() : undefined))
        return
      case INTR:
        this.#intr &= ~raw
        break
      case INTE:
        this.#inte = value & 0xf
        break
      case INTF:
        this.#intf = value & 0xf
        break
      case DBGPAUSE:
        return
      case TIMEHW:
      case TIMELW:
      default:
        throw new ChipTrap(`writing TIMER register ${hex(offset)} is not modelled`)
    }
    this.#interrupts()
  }

  /** The alarm fires when the low word of the time is equal to the target (datasheet §4.6.3). */
  #arm(index: number, target: number): void {
    this.#targets[index] = target
    this.#armed |= 1 << index
    const now = this.#micros
    const startNs = this.#startNs ?? 0
    let away = (target - (now % 2 ** 32) + 2 ** 32) % 2 ** 32
    if (away === 0) away = 2 ** 32
    this.#alarms[index]?.schedule(startNs + (now + away) * 1000 - this.timeline.nanos)
  }

  #fire(index: number): void {
    this.#armed &= ~(1 << index)
    this.#intr |= 1 << index
    this.#interrupts()
  }

  #interrupts(): void {
    const status = (this.#intr & this.#inte) | this.#intf
    for (let k = 0; k < 4; k += 1) this.interrupt(k, ((status >> k) & 1) === 1)
  }
}
