import { RP2040 } from 'rp2040js'
import type { Peripheral } from 'rp2040js'
import { ClockTree, RING_HZ, SYSTEM_HZ } from './clock-tree.ts'
import { chargeEntry, mendSleep } from './core.ts'
import { Fabric } from './fabric.ts'
import type { Board } from './gpio.ts'
import type { NorFlash } from './nor-flash.ts'
import { PlainRegisters } from './register-block.ts'
import { RESET_BIT, Resets } from './resets.ts'
import type { ResetBit } from './resets.ts'
import { Ssi } from './ssi.ts'
import { CYCLE_NS, Timeline } from './timeline.ts'
import { Timer } from './timer.ts'
import { ChipTrap, hex } from './trap.ts'
import type { BusDevice } from './usb-bus.ts'
import { UsbController } from './usb-controller.ts'
import { Watchdog } from './watchdog.ts'
import type { WatchdogMemory } from './watchdog.ts'

const SRAM = 0x20000000
const SRAM_BYTES = 0x42000
const XIP = 0x10000000
const XIP_END = 0x14000000
const SIO = 0xd0000000
const PPB = 0xe000e000
const USB_DPRAM = 0x50100000
const USB_DPRAM_BYTES = 0x1000
/** Where the boot ROM puts the boot block. */
export const BOOT_BLOCK_ADDRESS = SRAM + SRAM_BYTES - 256
const CACHE_LINES = 2048

/** Interrupt numbers of RP2040 datasheet §2.3.2. */
const IRQ = {
  timer: 0,
  usb: 5,
  'pio0-0': 7,
  'pio0-1': 8,
  'pio1-0': 9,
  'pio1-1': 10,
  'dma-0': 11,
  'dma-1': 12,
  'io-bank0': 13,
} as const

/** All of PSM_WDSEL but the oscillators (RP2040 datasheet §2.13.5): a watchdog that bites resets the whole chip. */
const WDSEL_WHOLE_CHIP = 0x0001fffc

export interface McuOptions {
  readonly flash: NorFlash
  readonly board: Board
  readonly startNs: number
  readonly lazy: boolean
  readonly memory: WatchdogMemory | null
  /** The world's time: it goes on through resets. */
  readonly world: Timeline
  /** The USB bus the controller hangs on has something to do. */
  readonly usbChanged: () => void
  /** The device at the other end of the cable, where there is no computer. */
  readonly usbDevice: () => BusDevice | null
  readonly pinsChanged: (atNs: number) => void
  /** The processor is about to touch something that knows the time. */
  readonly beforeLeavingSram: () => void
}

/**
 * The chip: rp2040js with every part replaced that its figures depend on, and a memory map that lets nothing pass that
 * the silicon would not. It starts where the boot ROM hands over to the boot block.
 */
export class Mcu extends RP2040 {
  declare readonly clock: Timeline
  readonly fabric: Fabric
  readonly ssi: Ssi
  readonly watchdog: Watchdog
  readonly clockTree: ClockTree
  readonly usb: UsbController
  /** Set when the watchdog has bitten; the chip is then of no more use. */
  bitten: WatchdogMemory | null = null
  /** Nanoseconds of a cycle of the processor, to the nearest 8: the ring oscillator is slow. */
  cycleNs = CYCLE_NS
  /** Where code has got to: after `ram` the XIP window must not be used again. */
  stage: 'boot-block' | 'flash' | 'ram' = 'boot-block'

  /** Set by every access to anything but SRAM. */
  leftSram = false

  readonly #flash: NorFlash
  readonly #flashView: DataView
  readonly #beforeLeavingSram: () => void
  readonly #resets: Resets
  readonly #map = new Map<number, { readonly part: Peripheral; readonly held: ResetBit | null }>()
  readonly #startNs: number
  readonly #cached = new Int32Array(CACHE_LINES).fill(-1)
  #stallNs = 0

  constructor({
    flash,
    board,
    startNs,
    lazy,
    memory,
    world,
    usbChanged,
    usbDevice,
    pinsChanged,
    beforeLeavingSram,
  }: McuOptions) {
    super(new Timeline())
    // Its timers run, and fire without end, until they have been reset once.
    this.pwm.reset()
    this.#flash = flash
    this.#flashView = new DataView(flash.bytes.buffer, flash.bytes.byteOffset)
    this.#beforeLeavingSram = beforeLeavingSram
    this.#startNs = startNs
    this.logger = new TrappingLogger()
    const { sio } = this
    this.fabric = new Fabric(
      {
        interrupt: (line, wanted) => this.setInterrupt(IRQ[line], wanted),
        read: (address, bytes) => this.#dmaRead(address, bytes),
        write: (address, value, bytes) => this.#dmaWrite(address, value, bytes),
        pinsChanged: (atCycle) => pinsChanged(atCycle * CYCLE_NS),
        pioStarted: () => this.clockTree.requireSystemClock('PIO'),
      },
      {
        get outputs() {
          return sio.gpioValue
        },
        get enables() {
          return sio.gpioOutputEnable
        },
      },
      board,
      startNs / CYCLE_NS,
      lazy,
    )
    this.ssi = new Ssi({
      flash,
      now: () => this.clock.nanos,
      clockHz: () => this.clkSys,
    })
    this.watchdog = new Watchdog(this.clock, memory, {
      bites: (reason) => this.#bite(reason),
      tickStarted: () => timer.start(),
      requireTick: () => this.clockTree.requireTick('watchdog'),
    })
    const timer = new Timer(
      this.clock,
      (alarm, wanted) => this.setInterrupt(IRQ.timer + alarm, wanted),
      () => this.clockTree.requireTick('TIMER'),
    )
    this.clockTree = new ClockTree(this, this.watchdog)
    this.usb = new UsbController({
      ram: this.usbDPRAM,
      time: world,
      device: usbDevice,
      cycle: () => this.clock.nanos / CYCLE_NS,
      interrupt: (wanted) => this.setInterrupt(IRQ.usb, wanted),
      changed: usbChanged,
      requireClock: () => this.clockTree.requireUsbClock('USB'),
    })
    this.#resets = new Resets((bit) => this.#resetPart(bit, timer))
    this.#lay(timer)
    mendSleep(this.core)
    chargeEntry(this.core, (cycles) => {
      this.#stallNs += cycles * this.cycleNs
    })
    this.onBreak = (code) => {
      throw new ChipTrap(`the firmware stopped itself with code ${code}`, this.core.PC)
    }
    this.clkSys = RING_HZ
    this.cycleNs = cycleNsAt(RING_HZ)
    this.addClockListener((hz) => {
      this.cycleNs = cycleNsAt(hz)
    })
  }

  /** rp2040js fills 16 MiB of flash and reads vectors here; there is nothing of either. */
  override reset(): void {}

  /** Time beyond the instruction's own: waiting for the flash, entering an exception. */
  takeStallNs(): number {
    const ns = this.#stallNs
    this.#stallNs = 0
    return ns
  }

  /** Notes where the next instruction stands, until it stands in SRAM for good. */
  watchStage(): void {
    const { PC } = this.core
    const inFlash = PC >= XIP && PC < XIP_END
    if (this.stage === 'boot-block') {
      if (inFlash) this.stage = 'flash'
      else if (PC < BOOT_BLOCK_ADDRESS) this.stage = 'ram'
    } else if (!inFlash) this.stage = 'ram'
  }

  override get gpioValues(): number {
    return this.fabric.inputs
  }

  override readUint32(address: number): number {
    const at = address >>> 0
    if (at & 3) throw this.#trap(`a word read at ${hex(at)}, not aligned`)
    const offset = at - SRAM
    if (offset >= 0 && offset < SRAM_BYTES) return this.sramView.getUint32(offset, true)
    this.#leave()
    if (at >= XIP && at < XIP_END) return this.#readFlash(at) | 0
    if (at >= SIO && at < SIO + 0x200) return this.sio.readUint32(at - SIO)
    if (at >>> 12 === PPB >>> 12) return this.ppb.readUint32(at & 0xfff)
    if (at >= USB_DPRAM && at < USB_DPRAM + USB_DPRAM_BYTES) {
      this.#awake(RESET_BIT.usbctrl, at)
      return this.usbDPRAMView.getUint32(at - USB_DPRAM, true)
    }
    return this.#part(at, 'read').readUint32(at & 0x3fff)
  }

  override readUint16(address: number): number {
    const at = address >>> 0
    const offset = at - SRAM
    if (at & 1) throw this.#trap(`a halfword read at ${hex(at)}, not aligned`)
    if (offset >= 0 && offset < SRAM_BYTES) return this.sramView.getUint16(offset, true)
    const word = this.readUint32(at & ~3)
    return at & 2 ? word >>> 16 : word & 0xffff
  }

  override readUint8(address: number): number {
    const at = address >>> 0
    const offset = at - SRAM
    if (offset >= 0 && offset < SRAM_BYTES) return this.sram[offset] as number
    return (this.readUint32(at & ~3) >>> (8 * (at & 3))) & 0xff
  }

  override writeUint32(address: number, value: number): void {
    const at = address >>> 0
    if (at & 3) throw this.#trap(`a word written at ${hex(at)}, not aligned`)
    const offset = at - SRAM
    if (offset >= 0 && offset < SRAM_BYTES) return this.sramView.setUint32(offset, value, true)
    this.#leave()
    if (at >= SIO && at < SIO + 0x200) return this.#writeSio(at - SIO, value)
    if (at >>> 12 === PPB >>> 12) return this.ppb.writeUint32(at & 0xfff, value)
    if (at >= USB_DPRAM && at < USB_DPRAM + USB_DPRAM_BYTES) return this.#writeUsbRam(at, value, 4)
    const part = this.#part(at, 'written')
    part.writeUint32Atomic(at & 0xfff, value, (at & 0x3000) >> 12)
  }

  override writeUint16(address: number, value: number): void {
    const at = address >>> 0
    if (at & 1) throw this.#trap(`a halfword written at ${hex(at)}, not aligned`)
    const offset = at - SRAM
    if (offset >= 0 && offset < SRAM_BYTES) return this.sramView.setUint16(offset, value, true)
    this.#leave()
    if (at >= USB_DPRAM && at < USB_DPRAM + USB_DPRAM_BYTES) return this.#writeUsbRam(at, value, 2)
    // A narrow write to a register is spread over the whole word (datasheet §2.1.4).
    const half = value & 0xffff
    this.writeUint32(at & ~3, ((half << 16) | half) >>> 0)
  }

  override writeUint8(address: number, value: number): void {
    const at = address >>> 0
    const offset = at - SRAM
    if (offset >= 0 && offset < SRAM_BYTES) {
      this.sram[offset] = value
      return
    }
    this.#leave()
    if (at >= USB_DPRAM && at < USB_DPRAM + USB_DPRAM_BYTES) return this.#writeUsbRam(at, value, 1)
    this.writeUint32(at & ~3, Math.imul(value & 0xff, 0x01010101) >>> 0)
  }

  #leave(): void {
    this.leftSram = true
    this.#beforeLeavingSram()
  }

  #readFlash(at: number): number {
    if (this.stage === 'ram')
      throw this.#trap(`the flash window is used at ${hex(at)}, long after it was left`)
    const closed = this.ssi.windowClosed
    if (closed !== null) throw this.#trap(`the flash window is read at ${hex(at)}, but ${closed}`)
    const offset = at % this.#flash.bytes.length
    const line = offset >>> 3
    if (this.#cached[line % CACHE_LINES] !== line) {
      this.#cached[line % CACHE_LINES] = line
      this.#stallNs += this.ssi.fetchNs
    }
    return this.#flashView.getUint32(offset, true)
  }

  #writeSio(offset: number, value: number): void {
    this.sio.writeUint32(offset, value)
    if (offset >= 0x10 && offset < 0x30) this.fabric.gpio.update()
  }

  #writeUsbRam(at: number, value: number, bytes: 1 | 2 | 4): void {
    this.#awake(RESET_BIT.usbctrl, at)
    const offset = at - USB_DPRAM
    const view = this.usbDPRAMView
    const word = offset & ~3
    const before = view.getUint32(word, true)
    if (bytes === 4) view.setUint32(offset, value, true)
    else if (bytes === 2) view.setUint16(offset, value, true)
    else view.setUint8(offset, value)
    this.usb.ramWritten(word, before, view.getUint32(word, true))
  }

  #part(at: number, done: string): Peripheral {
    const entry = this.#map.get(at >>> 14)
    if (entry === undefined)
      throw this.#trap(`${hex(at)} ${done}, where there is nothing (or nothing modelled)`)
    if (entry.held !== null) this.#awake(entry.held, at)
    return entry.part
  }

  #awake(bit: ResetBit, at: number): void {
    if (this.#resets.isHeld(bit))
      throw this.#trap(`${hex(at)} touched while it is held in reset (RESETS bit ${bit})`)
  }

  #dmaRead(address: number, bytes: number): number {
    this.#dmaMay(address)
    if (bytes === 4) return this.readUint32(address) >>> 0
    return bytes === 2 ? this.readUint16(address) : this.readUint8(address)
  }

  #dmaWrite(address: number, value: number, bytes: number): void {
    this.#dmaMay(address)
    if (bytes === 4) this.writeUint32(address, value)
    else if (bytes === 2) this.writeUint16(address, value)
    else this.writeUint8(address, value)
  }

  /** The processor's own ports are not on the bus that the DMA is on (datasheet §2.1.1). */
  #dmaMay(address: number): void {
    if (address >>> 28 >= 0xd) throw new ChipTrap(`the DMA cannot reach ${hex(address)}`)
  }

  #lay(timer: Timer): void {
    const put = (base: number, part: Peripheral, held: ResetBit | null): void => {
      this.#map.set(base >>> 14, { part, held })
    }
    const keep = (base: number, held: ResetBit | null): void => {
      put(base, this.peripherals[base >>> 12] as Peripheral, held)
    }
    // XIP_CTRL: cache on, flush ready, stream FIFO empty.
    put(
      0x14000000,
      new PlainRegisters([
        [0x00, 3],
        [0x08, 3],
      ]),
      null,
    )
    put(0x18000000, this.ssi, null)
    keep(0x40000000, RESET_BIT.sysinfo)
    keep(0x40004000, RESET_BIT.syscfg)
    keep(0x40008000, null)
    put(0x4000c000, this.#resets, null)
    keep(0x40010000, null)
    put(0x40014000, this.fabric.gpio.bank, RESET_BIT.ioBank0)
    put(0x40018000, this.ssi.io, RESET_BIT.ioQspi)
    put(0x4001c000, this.fabric.gpio.pads, RESET_BIT.padsBank0)
    keep(0x40020000, RESET_BIT.padsQspi)
    keep(0x40024000, null)
    keep(0x40028000, RESET_BIT.pllSys)
    keep(0x4002c000, RESET_BIT.pllUsb)
    keep(0x40030000, RESET_BIT.busctrl)
    put(0x40054000, timer, RESET_BIT.timer)
    put(0x40058000, this.watchdog, null)
    // ROSC: enabled and stable. VREG_AND_CHIP_RESET: 1.10 V, regulating, had a power-on reset.
    put(0x40060000, new PlainRegisters([[0x18, 0x80001000]]), null)
    put(
      0x40064000,
      new PlainRegisters([
        [0x00, 0x10b1],
        [0x04, 0x91],
        [0x08, 0x100],
      ]),
      null,
    )
    keep(0x4006c000, RESET_BIT.tbman)
    put(0x50000000, this.fabric.dma, RESET_BIT.dma)
    put(0x50110000, this.usb, RESET_BIT.usbctrl)
    put(0x50200000, this.fabric.pio0, RESET_BIT.pio0)
    put(0x50300000, this.fabric.pio1, RESET_BIT.pio1)
  }

  #resetPart(bit: number, timer: Timer): void {
    const { fabric } = this
    if (bit === RESET_BIT.dma) fabric.dma.reset()
    else if (bit === RESET_BIT.ioBank0) fabric.gpio.resetBank()
    else if (bit === RESET_BIT.padsBank0) fabric.gpio.resetPads()
    else if (bit === RESET_BIT.pio0) fabric.pio0.reset()
    else if (bit === RESET_BIT.pio1) fabric.pio1.reset()
    else if (bit === RESET_BIT.usbctrl) this.usb.reset()
    else if (bit === RESET_BIT.timer) timer.reset()
  }

  #bite(reason: number): void {
    const wdsel = this.#map.get(0x40010000 >>> 14)?.part.readUint32(0x08) ?? 0
    if ((wdsel & WDSEL_WHOLE_CHIP) !== WDSEL_WHOLE_CHIP) {
      throw new ChipTrap(`the watchdog bites, but PSM WDSEL ${hex(wdsel)} leaves part of the chip as it is`)
    }
    if (this.watchdog.scratch[4] === 0xb007c0d3)
      throw new ChipTrap('booting through the watchdog is not modelled')
    this.bitten = { reason, scratch: this.watchdog.scratch }
  }

  #trap(message: string): ChipTrap {
    return new ChipTrap(message, this.core.PC)
  }

  /** Emulated time of the whole, not only since this reset. */
  get nowNs(): number {
    return this.#startNs + this.clock.nanos
  }

  /** When something happens next that may wake the processor, on the time of the whole. */
  get nextNs(): number {
    return Math.min(this.#startNs + this.clock.nextNs, this.fabric.due * CYCLE_NS)
  }

  /** Everything but the processor goes on to `ns`, or to where the watchdog bites. */
  advanceTo(ns: number): void {
    while (this.nowNs < ns && this.bitten === null) {
      const to = Math.min(ns, Math.max(this.#startNs + this.clock.nextNs, this.nowNs))
      this.fabric.advanceTo(to / CYCLE_NS)
      this.clock.advanceTo(to - this.#startNs)
    }
  }
}

const cycleNsAt = (hz: number): number => CYCLE_NS * Math.max(1, Math.round(SYSTEM_HZ / hz))

/** What rp2040js only warns of is something that the chip would not do. */
class TrappingLogger {
  debug(): void {}
  info(): void {}
  warn(part: string, message: string): void {
    throw new ChipTrap(`${part}: ${message}`)
  }
  error(part: string, message: string): void {
    throw new ChipTrap(`${part}: ${message}`)
  }
}
