import { RegisterBlock } from './register-block.ts'
import { ChipTrap, hex } from './trap.ts'

/** Number of GPIOs in bank 0. */
export const GPIO_COUNT = 30
const ALL_GPIOS = (1 << GPIO_COUNT) - 1

/** Functions of RP2040 datasheet §2.19.2 that a pin may have here. */
const FUNCTION = { sio: 5, pio0: 6, pio1: 7, none: 31 } as const

/** RP2040 datasheet §2.19.6.3: input on, 4 mA, pull-down, Schmitt trigger. */
const PAD_RESET = 0x56
const CTRL_RESET = 0x1f

const INTR = 0xf0
const PROC0_INTE = 0x100
const PROC0_INTF = 0x110
const PROC0_INTS = 0x120
const PROC0_END = 0x130

/** What the inside of the chip wants on its pins. */
export interface PinSource {
  /** Output levels, a bit a GPIO. */
  readonly outputs: number
  /** Output enables, a bit a GPIO. */
  readonly enables: number
}

/** What the board does to the pins. */
export interface Board {
  /** GPIOs that something outside drives. */
  driven: number
  /** The levels it drives. */
  levels: number
  /** GPIOs with a pull-up on the board that wins against the pulls in the chip. */
  pullUps: number
}

/**
 * Pins from function select to pad: IO_BANK0 and PADS_BANK0 (RP2040 datasheet §2.19) and what the board adds.
 * Everything is held as masks, a bit a GPIO, so that a change costs a few operations.
 */
export class Gpio {
  readonly bank = new IoBank(this)
  readonly pads = new PadsBank(this)
  readonly board: Board = { driven: 0, levels: 0, pullUps: 0 }
  /** What stands on the pins. */
  levels = 0
  /** What the chip drives. */
  enabled = 0
  /** What the inside is given: the levels where the input is on, after the override. Not yet synchronised. */
  seen = 0
  readonly ctrl = new Uint32Array(GPIO_COUNT).fill(CTRL_RESET)
  readonly pad = new Uint32Array(GPIO_COUNT).fill(PAD_RESET)
  /** Told whenever levels or seen may have changed. */
  onChange: () => void = () => {}
  onInterrupt: (wanted: boolean) => void = () => {}

  #sio = 0
  #pio0 = 0
  #pio1 = 0
  #invertOut = 0
  #forceOut = 0
  #forcedOut = 0
  #invertEnable = 0
  #forceEnable = 0
  #forcedEnable = 0
  #invertIn = 0
  #forceIn = 0
  #forcedIn = 0
  #inputOn = 0
  #outputOff = 0
  #pullUp = 0
  #pullDown = 0

  constructor(
    private readonly sources: { sio: PinSource; pio0: PinSource; pio1: PinSource },
    board?: Board,
  ) {
    if (board) this.board = board
    this.configure()
    this.update()
  }

  resetBank(): void {
    this.ctrl.fill(CTRL_RESET)
    this.bank.clear()
    this.configure()
    this.update()
  }

  resetPads(): void {
    this.pad.fill(PAD_RESET)
    this.configure()
    this.update()
  }

  /** Reads the masks out of the registers anew. */
  configure(): void {
    this.#sio = this.#pio0 = this.#pio1 = 0
    this.#invertOut = this.#forceOut = this.#forcedOut = 0
    this.#invertEnable = this.#forceEnable = this.#forcedEnable = 0
    this.#invertIn = this.#forceIn = this.#forcedIn = 0
    this.#inputOn = this.#outputOff = this.#pullUp = this.#pullDown = 0
    for (let gpio = 0; gpio < GPIO_COUNT; gpio += 1) {
      const bit = 1 << gpio
      const ctrl = this.ctrl[gpio] as number
      const pad = this.pad[gpio] as number
      const chosen = ctrl & 0x1f
      if (chosen === FUNCTION.sio) this.#sio |= bit
      else if (chosen === FUNCTION.pio0) this.#pio0 |= bit
      else if (chosen === FUNCTION.pio1) this.#pio1 |= bit
      else if (chosen !== FUNCTION.none) throw new ChipTrap(`GPIO ${gpio} function ${chosen} is not modelled`)
      const out = (ctrl >> 8) & 3
      if (out === 1) this.#invertOut |= bit
      if (out >= 2) this.#forceOut |= bit
      if (out === 3) this.#forcedOut |= bit
      const enable = (ctrl >> 12) & 3
      if (enable === 1) this.#invertEnable |= bit
      if (enable >= 2) this.#forceEnable |= bit
      if (enable === 3) this.#forcedEnable |= bit
      const input = (ctrl >> 16) & 3
      if (input === 1) this.#invertIn |= bit
      if (input >= 2) this.#forceIn |= bit
      if (input === 3) this.#forcedIn |= bit
      if (pad & 0x40) this.#inputOn |= bit
      if (pad & 0x80) this.#outputOff |= bit
      if (pad & 0x08) this.#pullUp |= bit
      if (pad & 0x04) this.#pullDown |= bit
    }
  }

  /** Settles the pins after anything changed. */
  update(): void {
    const { sio, pio0, pio1 } = this.sources
    let out = (sio.outputs & this.#sio) | (pio0.outputs & this.#pio0) | (pio1.outputs & this.#pio1)
    let enable = (sio.enables & this.#sio) | (pio0.enables & this.#pio0) | (pio1.enables & this.#pio1)
    out = ((out ^ this.#invertOut) & ~this.#forceOut) | this.#forcedOut
    enable = (((enable ^ this.#invertEnable) & ~this.#forceEnable) | this.#forcedEnable) & ~this.#outputOff
    const { driven, levels: outside, pullUps } = this.board
    const fight = enable & driven & (out ^ outside)
    if (fight) throw new ChipTrap(`the chip drives GPIOs ${hex(fight)} against the board`)
    const undriven = ~(enable | driven)
    const high = pullUps | (this.#pullUp & ~this.#pullDown)
    const low = this.#pullDown & ~this.#pullUp & ~pullUps
    const kept = this.levels & ~high & ~low
    const levels = ((out & enable) | (outside & driven) | (undriven & (high | kept))) & ALL_GPIOS
    const seen = (((levels & this.#inputOn) ^ this.#invertIn) & ~this.#forceIn) | this.#forcedIn
    if (levels === this.levels && seen === this.seen && enable === this.enabled) return
    this.enabled = enable
    this.levels = levels
    const before = this.seen
    this.seen = seen
    if (before !== seen) this.bank.inputsChanged(before, seen)
    this.onChange()
  }

  status(gpio: number): number {
    const bit = 1 << gpio
    const level = this.levels & bit ? 1 << 17 : 0
    const seen = this.seen & bit ? 1 << 19 : 0
    const enabled = this.enabled & bit ? 1 << 13 : 0
    const out = this.enabled & this.levels & bit ? 1 << 9 : 0
    return level | seen | enabled | out
  }
}

/** IO_BANK0: function select, overrides and interrupts of the pins (RP2040 datasheet §2.19.6.1). */
class IoBank extends RegisterBlock {
  #rises = 0
  #falls = 0
  readonly #enable = new Uint32Array(4)
  readonly #force = new Uint32Array(4)

  constructor(private readonly gpio: Gpio) {
    super()
  }

  clear(): void {
    this.#rises = this.#falls = 0
    this.#enable.fill(0)
    this.#force.fill(0)
    this.#interrupt()
  }

  inputsChanged(before: number, seen: number): void {
    this.#rises |= seen & ~before
    this.#falls |= before & ~seen
    this.#interrupt()
  }

  read(offset: number): number {
    const index = (offset >> 2) & 3
    if (offset < GPIO_COUNT * 8) {
      const gpio = offset >> 3
      return offset & 4 ? (this.gpio.ctrl[gpio] as number) : this.gpio.status(gpio)
    }
    if (offset >= INTR && offset < PROC0_INTE) return this.#raw(index)
    if (offset >= PROC0_INTE && offset < PROC0_INTF) return this.#enable[index] as number
    if (offset >= PROC0_INTF && offset < PROC0_INTS) return this.#force[index] as number
    if (offset >= PROC0_INTS && offset < PROC0_END) return this.#status(index)
    throw new ChipTrap(`IO_BANK0 register ${hex(offset)} is not modelled`)
  }

  write(offset: number, value: number, raw: number): void {
    const index = (offset >> 2) & 3
    if (offset < GPIO_COUNT * 8) {
      if (!(offset & 4)) return
      this.gpio.ctrl[offset >> 3] = value
      this.gpio.configure()
      this.gpio.update()
      return
    }
    if (offset >= INTR && offset < PROC0_INTE) this.#forget(index, raw)
    else if (offset >= PROC0_INTE && offset < PROC0_INTF) this.#enable[index] = value
    else if (offset >= PROC0_INTF && offset < PROC0_INTS) this.#force[index] = value
    else throw new ChipTrap(`IO_BANK0 register ${hex(offset)} is not modelled`)
    this.#interrupt()
  }

  #raw(index: number): number {
    let bits = 0
    for (let k = 0; k < 8; k += 1) {
      const bit = 1 << (index * 8 + k)
      const four = (this.gpio.seen & bit ? 2 : 1) | (this.#falls & bit ? 4 : 0) | (this.#rises & bit ? 8 : 0)
      if (index * 8 + k < GPIO_COUNT) bits |= four << (4 * k)
    }
    return bits >>> 0
  }

  #status(index: number): number {
    return ((this.#raw(index) & (this.#enable[index] as number)) | (this.#force[index] as number)) >>> 0
  }

  #forget(index: number, raw: number): void {
    for (let k = 0; k < 8; k += 1) {
      const bit = 1 << (index * 8 + k)
      if ((raw >>> (4 * k)) & 4) this.#falls &= ~bit
      if ((raw >>> (4 * k)) & 8) this.#rises &= ~bit
    }
  }

  #interrupt(): void {
    let wanted = false
    for (let index = 0; index < 4; index += 1) {
      if (this.#enable[index] || this.#force[index]) wanted ||= this.#status(index) !== 0
    }
    this.gpio.onInterrupt(wanted)
  }
}

/** PADS_BANK0 (RP2040 datasheet §2.19.6.3). */
class PadsBank extends RegisterBlock {
  constructor(private readonly gpio: Gpio) {
    super()
  }

  read(offset: number): number {
    if (offset === 0) return 0
    return this.gpio.pad[(offset >> 2) - 1] ?? 0
  }

  write(offset: number, value: number): void {
    const gpio = (offset >> 2) - 1
    if (gpio < 0 || gpio >= GPIO_COUNT) return
    this.gpio.pad[gpio] = value & 0xff
    this.gpio.configure()
    this.gpio.update()
  }
}
