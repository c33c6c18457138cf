import { ALL_HIGH } from '../../port/pins.ts'
import type { PinBits } from '../../port/pins.ts'
import { boot } from './boot.ts'
import type { Board } from './gpio.ts'
import { Mcu } from './mcu.ts'
import { NorFlash } from './nor-flash.ts'
import { DATA_GPIOS, GPIO } from './pins.ts'
import { CYCLE_NS, Timeline, atCycle } from './timeline.ts'
import type { Alarm } from './timeline.ts'
import type { PluggableDevice } from './usb-bus.ts'
import { UsbHost } from './usb-host.ts'
import { Vbus } from './vbus.ts'
import type { WatchdogMemory } from './watchdog.ts'

export interface ChipOptions {
  /** What is in its flash, up to 2 MiB; a `NorFlash` brings its age with it. */
  readonly flash: Uint8Array | NorFlash
  /** False executes every cycle of PIO, DMA and sleep one by one: slow, and what the quick way must agree with. */
  readonly lazy?: boolean
  /** Level of select when power comes. */
  readonly select?: 'low' | 'high'
  /** How many edges the logic analyser keeps, at least; the oldest go first. */
  readonly edgesKept?: number
}

/** The pins of the port from `atNs` on. */
export interface PinEdge {
  readonly atNs: number
  readonly pins: PinBits
}

/** `on` runs the firmware; `usb-boot` found none that it may run; `off` has lost its power. */
export type ChipState = 'on' | 'usb-boot' | 'off'

/**
 * The adapter's board: chip, flash, buffers, the console at one end and a computer or a pad at the other.
 *
 * Time passes only in {@link runFor} and {@link runUntil}, in steps of 8 ns. Whatever the firmware does that the chip
 * would not, throws a ChipTrap from there.
 */
export class Chip {
  readonly flash: NorFlash
  readonly usb: UsbHost
  /** Every change of the six pins since power-on or since it was cleared. */
  readonly edges: PinEdge[] = []
  /** How often the watchdog has reset the chip. */
  watchdogResets = 0
  state: ChipState = 'on'

  /** The world's time: console, flash and computer; the chip's own begins anew with each reset. */
  readonly #world = new Timeline()
  readonly #board: Board
  readonly #vbus: Vbus
  #pad: PluggableDevice | null = null
  readonly #lazy: boolean
  readonly #edgesKept: number
  #mcu: Mcu
  #busyUntilNs = 0
  /** When the instruction that is being executed began, while the clocks may be behind. */
  #burstNs: number | null = null
  #pins: PinBits = ALL_HIGH

  constructor({ flash, lazy = true, select = 'high', edgesKept = 100_000 }: ChipOptions) {
    this.#lazy = lazy
    this.#edgesKept = edgesKept
    this.flash = new NorFlash(this.#world, flash)
    this.flash.onPowerCut = () => this.#powerOff()
    const selectBit = 1 << GPIO.select
    this.#board = {
      driven: selectBit | (1 << GPIO.vbusSense),
      levels: select === 'high' ? selectBit : 0,
      // The fault line of the switch is open drain.
      pullUps: (1 << GPIO.buffersOff) | (1 << GPIO.vbusFault),
    }
    this.#vbus = new Vbus({
      time: this.#world,
      changed: ({ sensed, ours }) => {
        this.#drive(GPIO.vbusSense, sensed)
        this.#pad?.setPower(ours)
      },
      fault: (pulled) => this.#pull(GPIO.vbusFault, pulled),
    })
    this.usb = new UsbHost(this.#world, () => (this.state === 'on' ? this.#mcu.usb : null))
    this.usb.onPlugged = (plugged) => {
      if (plugged && this.#pad !== null) throw new Error('a pad stands in the connector')
      this.#vbus.setOutside(plugged)
    }
    this.#mcu = this.#start(null)
  }

  /** Emulated time since power-on, a multiple of 8. */
  get nowNs(): number {
    return this.#world.nanos
  }

  /** What stands on the six data pins of the port, as the console sees it. */
  get de9(): PinBits {
    return this.#pins
  }

  get ledIsOn(): boolean {
    return this.state === 'on' && this.#gpioIsHigh(GPIO.led)
  }

  /** The processor and all around it, for tests that look inside. A reset brings a new one. */
  get mcu(): Mcu {
    return this.#mcu
  }

  /** The console moves select, now. */
  setSelect(level: 'low' | 'high'): void {
    this.#drive(GPIO.select, level === 'high')
  }

  get select(): 'low' | 'high' {
    return (this.#board.levels >> GPIO.select) & 1 ? 'high' : 'low'
  }

  /** Plugs a pad in, where a computer might be: the connector is one. */
  plugPad(pad: PluggableDevice): void {
    if (this.usb.plugged || this.#pad !== null) throw new Error('something stands in the connector')
    this.#pad = pad
    pad.onLine = () => this.#mcu.usb.asHost.lineChanged()
    pad.plug(this.#world)
    this.#vbus.setOverloaded(pad.overloads)
    pad.setPower(this.#vbus.ours)
  }

  /** Pulls the pad. */
  unplugPad(): void {
    const pad = this.#pad
    this.#pad = null
    this.#vbus.setOverloaded(false)
    pad?.unplug()
    this.#mcu.usb.asHost.lineChanged()
  }

  /** Whether the firmware gives VBUS to a pad. */
  get givesVbus(): boolean {
    return this.#vbus.switchedOn
  }

  clearEdges(): void {
    this.edges.length = 0
  }

  /** Something that happens in emulated time, at the instant. */
  at(ns: number, run: () => void): Alarm {
    const alarm = this.#world.createAlarm(run)
    alarm.schedule(Math.max(0, ns - this.nowNs))
    return alarm
  }

  /** Lets so much time pass, to the next 8 ns. */
  runFor(ns: number): void {
    this.runTo(this.nowNs + ns)
  }

  /** Lets time pass up to `ns`, to the next 8 ns. */
  runTo(ns: number): void {
    const end = atCycle(ns)
    while (this.nowNs < end) this.#onward(end)
  }

  /**
   * Lets time pass until something is the case, looked at least every `everyNs`.
   * @returns whether it came to be within `limitNs`
   */
  runUntil(holds: () => boolean, limitNs: number, everyNs = 100_000): boolean {
    const end = this.nowNs + limitNs
    while (!holds()) {
      if (this.nowNs >= end) return false
      this.runTo(Math.min(end, this.nowNs + everyNs))
    }
    return true
  }

  /** Power goes, now; what the flash is doing is left half done. */
  powerOff(): void {
    this.flash.losePower()
  }

  /** Power goes, if it has not gone already, and comes back: the same flash, and nothing else the same. */
  powerCycle(): Chip {
    this.powerOff()
    return new Chip({
      flash: this.flash,
      lazy: this.#lazy,
      select: this.select,
      edgesKept: this.#edgesKept,
    })
  }

  #start(memory: WatchdogMemory | null): Mcu {
    const mcu = new Mcu({
      flash: this.flash,
      board: this.#board,
      startNs: this.nowNs,
      lazy: this.#lazy,
      memory,
      world: this.#world,
      usbChanged: () => this.usb.deviceChanged(),
      usbDevice: () => this.#pad,
      pinsChanged: (atNs) => this.#settle(atNs),
      beforeLeavingSram: () => this.#beforeLeavingSram(),
    })
    this.#mcu = mcu
    this.#busyUntilNs = this.nowNs
    this.state = boot(mcu, this.flash.bytes) ? 'on' : 'usb-boot'
    this.#settle(this.nowNs)
    this.usb.deviceChanged()
    return mcu
  }

  /** One instruction, one nap or one event further, but not past `end`. */
  #onward(end: number): void {
    if (this.state !== 'on') return this.#advanceTo(end)
    const mcu = this.#mcu
    const now = this.nowNs
    if (now < this.#busyUntilNs) return this.#advanceTo(Math.min(end, this.#busyUntilNs))
    const { core } = mcu
    if (core.waiting && !core.checkForInterrupts()) {
      const nextNs = this.#lazy ? Math.min(end, mcu.nextNs, this.#world.nextNs) : this.nowNs
      return this.#advanceTo(Math.max(nextNs, now + CYCLE_NS))
    }
    this.#burst(end)
    if (mcu.bitten !== null) this.#reset(mcu.bitten)
  }

  /**
   * Instructions one after another, as long as they touch nothing but SRAM and nothing else happens: until then nobody can
   * tell that the clocks stand still.
   */
  #burst(end: number): void {
    const mcu = this.#mcu
    const { core } = mcu
    const limit = this.#lazy ? Math.min(end, mcu.nextNs, this.#world.nextNs) : this.nowNs
    let now = this.nowNs
    mcu.leftSram = false
    do {
      if (mcu.stage !== 'ram') mcu.watchStage()
      this.#burstNs = now
      const cycles = core.executeInstruction()
      now += cycles * mcu.cycleNs + atCycle(mcu.takeStallNs())
    } while (now < limit && !mcu.leftSram && !core.waiting)
    this.#burstNs = null
    this.#busyUntilNs = now
  }

  /** Sets the clocks right before an instruction reaches beyond SRAM. */
  #beforeLeavingSram(): void {
    if (this.#burstNs !== null) this.#advanceTo(this.#burstNs)
  }

  /** Everything but the processor goes on to `ns`, each event at its own instant. */
  #advanceTo(ns: number): void {
    while (this.nowNs < ns) {
      const to = Math.min(ns, Math.max(this.#world.nextNs, this.nowNs))
      if (this.state === 'on') {
        this.#mcu.advanceTo(to)
        if (this.#mcu.bitten !== null) {
          this.#world.advanceTo(this.#mcu.nowNs)
          return this.#reset(this.#mcu.bitten)
        }
      }
      this.#world.advanceTo(to)
    }
  }

  #reset(memory: WatchdogMemory): void {
    this.#burstNs = null
    this.watchdogResets += 1
    this.#mcu.usb.reset()
    // Nobody holds the chip select down any more.
    this.flash.deselect()
    this.#start(memory)
  }

  #powerOff(): void {
    this.state = 'off'
    this.#mcu.usb.reset()
    this.#settle(this.nowNs)
    this.usb.deviceChanged()
  }

  #drive(gpio: number, high: boolean): void {
    const bit = 1 << gpio
    this.#board.levels = high ? this.#board.levels | bit : this.#board.levels & ~bit
    if (this.state === 'on') this.#mcu.fabric.gpio.update()
  }

  /** An open drain on the board: down, or up by its pull-up. */
  #pull(gpio: number, down: boolean): void {
    const bit = 1 << gpio
    this.#board.driven = down ? this.#board.driven | bit : this.#board.driven & ~bit
    this.#drive(gpio, false)
  }

  #gpioIsHigh(gpio: number): boolean {
    return ((this.#mcu.fabric.gpio.levels >> gpio) & 1) === 1
  }

  /** The switch of VBUS, and the buffers between chip and port: switched off, pull-ups hold every line high. */
  #settle(atNs: number): void {
    this.#vbus.setSwitch(this.state !== 'off' && this.#gpioIsHigh(GPIO.vbusSwitch))
    let pins = ALL_HIGH
    if (this.state !== 'off' && !this.#gpioIsHigh(GPIO.buffersOff)) {
      DATA_GPIOS.forEach((gpio, k) => {
        if (!this.#gpioIsHigh(gpio)) pins &= ~(1 << k)
      })
    }
    if (pins === this.#pins) return
    this.#pins = pins
    this.edges.push({ atNs, pins })
    if (this.edges.length > 2 * this.#edgesKept) this.edges.splice(0, this.#edgesKept)
  }
}
