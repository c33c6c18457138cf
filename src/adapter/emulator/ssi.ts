import { PLAIN_READ_MAX_HZ } from './nor-flash.ts'
import type { NorFlash } from './nor-flash.ts'
import { RegisterBlock } from './register-block.ts'
import { ChipTrap, hex } from './trap.ts'

const CTRLR0 = 0x00
const CTRLR1 = 0x04
const SSIENR = 0x08
const SER = 0x10
const BAUDR = 0x14
const TXFTLR = 0x18
const RXFTLR = 0x1c
const TXFLR = 0x20
const RXFLR = 0x24
const SR = 0x28
const IMR = 0x2c
const DMACR = 0x4c
const VERSION = 0x5c
const IDR = 0x58
const DR0 = 0x60
const RX_SAMPLE_DLY = 0xf0
const SPI_CTRLR0 = 0xf4
const TXD_DRIVE_EDGE = 0xf8

const FIFO_DEPTH = 16
const SR_BUSY = 1 << 0
const SR_TFNF = 1 << 1
const SR_TFE = 1 << 2
const SR_RFNE = 1 << 3
const SR_RFF = 1 << 4

/** Registers that only a switched-off SSI takes. */
const CONFIGURATION: readonly number[] = [CTRLR0, CTRLR1, BAUDR, SPI_CTRLR0, RX_SAMPLE_DLY]

/** What the SSI needs of the chip. */
export interface SsiSurroundings {
  readonly flash: NorFlash
  now(): number
  clockHz(): number
}

/**
 * The SSI between the chip and its flash (RP2040 datasheet §4.10): 16-deep FIFOs, frames that take their time, chip
 * select by the block itself or by the override of IO_QSPI, and the plain 03h read behind the XIP window.
 */
export class Ssi extends RegisterBlock {
  /** IO_QSPI, of which only the chip select override does anything. */
  readonly io = new QspiIo(() => this.#chipSelect())
  readonly #values = new Map<number, number>([
    [CTRLR0, 0],
    [BAUDR, 0],
  ])
  readonly #tx: number[] = []
  readonly #rx: number[] = []
  #shifting: { frame: number; endsNs: number } | null = null
  #low = false

  constructor(private readonly around: SsiSurroundings) {
    super()
  }

  /** Nanoseconds that a fetch of 8 bytes through the XIP window takes: 32 clocks of command and address, 64 of data. */
  get fetchNs(): number {
    return Math.round((96 * this.#value(BAUDR) * 1e9) / this.around.clockHz())
  }

  /** Whether the XIP window is open for plain 03h reads; else says why not. */
  get windowClosed(): string | null {
    const control = this.#value(CTRLR0)
    const spi = this.#value(SPI_CTRLR0)
    if (this.#value(SSIENR) !== 1) return 'the SSI is off'
    if (((control >> 8) & 3) !== 3 || ((control >> 16) & 0x1f) !== 31 || (control >> 21) & 3) {
      return `CTRLR0 is ${hex(control)}, not a standard EEPROM read of 32-bit frames`
    }
    if (spi !== 0x03000218) return `SPI_CTRLR0 is ${hex(spi)}, not command 03h with a 24-bit address`
    if (this.#value(SER) !== 1) return 'SER selects no flash'
    if (this.io.override !== 0) return 'the chip select is overridden'
    if (this.#value(BAUDR) < 2) return 'BAUDR stops the clock'
    if (this.#tooFast) return `a plain read at ${this.#hz} Hz`
    return this.around.flash.busy ? 'the flash is busy' : null
  }

  get #hz(): number {
    return this.around.clockHz() / this.#value(BAUDR)
  }

  get #tooFast(): boolean {
    return this.#hz > PLAIN_READ_MAX_HZ
  }

  override peek(offset: number): number {
    return offset === DR0 ? 0 : this.read(offset)
  }

  read(offset: number): number {
    this.#run()
    switch (offset) {
      case TXFLR:
        return this.#tx.length
      case RXFLR:
        return this.#rx.length
      case SR:
        return (
          (this.#shifting || this.#tx.length > 0 ? SR_BUSY : 0) |
          (this.#tx.length < FIFO_DEPTH ? SR_TFNF : 0) |
          (this.#tx.length === 0 ? SR_TFE : 0) |
          (this.#rx.length > 0 ? SR_RFNE : 0) |
          (this.#rx.length === FIFO_DEPTH ? SR_RFF : 0)
        )
      case IDR:
        return 0x51535049
      case VERSION:
        return 0x3430312a
      case DR0:
        return this.#rx.shift() ?? 0
      default:
        return this.#value(offset)
    }
  }

  write(offset: number, value: number): void {
    this.#run()
    if (offset === DR0) return this.#put(value)
    if (CONFIGURATION.includes(offset) && this.#value(SSIENR) === 1) {
      throw new ChipTrap(`SSI register ${hex(offset)} written while the SSI is on`)
    }
    if (!WRITABLE.has(offset)) throw new ChipTrap(`SSI register ${hex(offset)} is not modelled`)
    this.#values.set(offset, offset === SSIENR ? value & 1 : value)
    if (offset === SSIENR && value === 0) {
      this.#tx.length = this.#rx.length = 0
      this.#shifting = null
    }
    this.#shift(this.around.now())
    this.#chipSelect()
  }

  #value(offset: number): number {
    return this.#values.get(offset) ?? 0
  }

  #put(value: number): void {
    if (this.#value(SSIENR) !== 1) throw new ChipTrap('a byte for the flash while the SSI is off')
    const control = this.#value(CTRLR0)
    if ((control >> 8) & 3 || ((control >> 16) & 0x1f) !== 7) {
      throw new ChipTrap(
        `CTRLR0 is ${hex(control)}: only both ways with 8-bit frames is modelled for commands`,
      )
    }
    // A full FIFO loses the byte (datasheet §4.10.13, TXOIS).
    if (this.#tx.length < FIFO_DEPTH) this.#tx.push(value & 0xff)
    this.#shift(this.around.now())
    this.#chipSelect()
  }

  /** Catches up with the frames that have ended. */
  #run(): void {
    const nowNs = this.around.now()
    while (this.#shifting !== null && this.#shifting.endsNs <= nowNs) {
      const { frame, endsNs } = this.#shifting
      const answer = this.around.flash.transfer(frame)
      if (this.around.flash.readsPlainly && this.#tooFast)
        throw new ChipTrap(`a plain read at ${this.#hz} Hz`)
      if (this.#rx.length < FIFO_DEPTH) this.#rx.push(answer)
      this.#shifting = null
      this.#shift(endsNs)
      this.#chipSelect()
    }
  }

  #shift(fromNs: number): void {
    if (this.#shifting !== null || this.#value(SER) !== 1 || this.#value(BAUDR) < 2) return
    const frame = this.#tx.shift()
    if (frame === undefined) return
    this.#shifting = { frame, endsNs: fromNs + (8e9 * this.#value(BAUDR)) / this.around.clockHz() }
  }

  /** Left to itself the block lets go of the flash as soon as it has nothing more to send. */
  #chipSelect(): void {
    const { override } = this.io
    const low = override === 0 ? this.#shifting !== null : override === 2
    if (override === 1) throw new ChipTrap('an inverted chip select is not modelled')
    if (low === this.#low) return
    this.#low = low
    if (low) this.around.flash.select()
    else this.around.flash.deselect()
  }
}

const WRITABLE = new Set([...CONFIGURATION, SSIENR, SER, TXFTLR, RXFTLR, IMR, DMACR, TXD_DRIVE_EDGE])

/** IO_QSPI (RP2040 datasheet §2.19.6.2): CTRL of SCLK, SS and SD0–SD3. */
class QspiIo extends RegisterBlock {
  readonly #ctrl = new Map<number, number>()

  constructor(private readonly changed: () => void) {
    super()
  }

  /** OUTOVER of the chip select: 0 as the SSI wants, 1 inverted, 2 low, 3 high. */
  get override(): number {
    return ((this.#ctrl.get(0x0c) ?? 0) >> 8) & 3
  }

  read(offset: number): number {
    return this.#ctrl.get(offset) ?? 0
  }

  write(offset: number, value: number): void {
    this.#ctrl.set(offset, value)
    this.changed()
  }
}
