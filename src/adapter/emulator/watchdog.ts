import { RegisterBlock } from './register-block.ts'
import type { Alarm, Timeline } from './timeline.ts'
import { ChipTrap, hex } from './trap.ts'

const CTRL = 0x00
const LOAD = 0x04
const REASON = 0x08
const SCRATCH0 = 0x0c
const TICK = 0x2c

const TRIGGER = 0x80000000
const ENABLE = 1 << 30
const TICK_ENABLE = 1 << 9
const TICK_RUNNING = 1 << 10
const REASON_TIMER = 1 << 0
const REASON_FORCE = 1 << 1

/** What of the watchdog outlives the reset it makes. */
export interface WatchdogMemory {
  readonly reason: number
  readonly scratch: Uint32Array
}

/** The watchdog and the tick generator (RP2040 datasheet §4.7). The counter goes down by two a tick (erratum RP2040-E1). */
export class Watchdog extends RegisterBlock {
  readonly scratch: Uint32Array
  #ctrl = 0x07000000
  #tick = TICK_ENABLE
  #deadlineNs = Infinity
  #left = 0
  #reason: number
  readonly #alarm: Alarm

  constructor(
    private readonly timeline: Timeline,
    memory: WatchdogMemory | null,
    private readonly around: { bites(reason: number): void; tickStarted(): void; requireTick(): void },
  ) {
    super()
    this.scratch = memory?.scratch.slice() ?? new Uint32Array(8)
    this.#reason = memory?.reason ?? 0
    this.#alarm = timeline.createAlarm(() => this.around.bites(REASON_TIMER))
  }

  /** Cycles of clk_ref a tick, or 0 while the generator stands. */
  get tickCycles(): number {
    return this.#tick & TICK_ENABLE ? this.#tick & 0x1ff : 0
  }

  read(offset: number): number {
    switch (offset) {
      case CTRL:
        return this.#ctrl | this.#count
      case LOAD:
        return 0
      case REASON:
        return this.#reason
      case TICK:
        return this.#tick | (this.#tick & TICK_ENABLE ? TICK_RUNNING : 0)
      default:
        if (offset >= SCRATCH0 && offset < TICK) return this.scratch[(offset - SCRATCH0) >> 2] as number
        throw new ChipTrap(`there is no watchdog register ${hex(offset)}`)
    }
  }

  write(offset: number, value: number): void {
    switch (offset) {
      case CTRL: {
        const was = this.#ctrl & ENABLE
        const left = this.#count
        this.#ctrl = value & 0x47000000
        if (value & TRIGGER) this.around.bites(REASON_FORCE)
        else if (value & ENABLE && !was) {
          this.around.requireTick()
          this.#load(this.#left)
        } else if (!(value & ENABLE)) {
          this.#left = left
          this.#alarm.cancel()
        }
        return
      }
      case LOAD:
        this.#load(value & 0xffffff)
        return
      case TICK:
        this.#tick = value & 0x3ff
        if (value & TICK_ENABLE) this.around.tickStarted()
        return
      default:
        if (offset < SCRATCH0 || offset >= TICK)
          throw new ChipTrap(`there is no watchdog register ${hex(offset)}`)
        this.scratch[(offset - SCRATCH0) >> 2] = value
    }
  }

  get #count(): number {
    if (!(this.#ctrl & ENABLE)) return this.#left
    return Math.max(0, Math.ceil((this.#deadlineNs - this.timeline.nanos) / 500)) & 0xffffff
  }

  #load(count: number): void {
    this.#left = count
    if (!(this.#ctrl & ENABLE)) return
    this.#deadlineNs = this.timeline.nanos + count * 500
    this.#alarm.schedule(count * 500)
  }
}
