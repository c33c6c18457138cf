import type { Alarm, Timeline } from './timeline.ts'
import { ChipTrap, hex } from './trap.ts'

export const FLASH_BYTES = 2 * 1024 * 1024
export const SECTOR_BYTES = 4096
export const PAGE_BYTES = 256

/** How long the flash is busy. Typical figures of 16 Mbit serial NOR data sheets, from memory. */
export const NOR_TIMING = { pageProgramNs: 400_000, sectorEraseNs: 45_000_000 } as const
/** The fastest clock for a plain read (03h), from memory of the same data sheets. */
export const PLAIN_READ_MAX_HZ = 50_000_000

const WRITE_DISABLE = 0x04
const READ_STATUS = 0x05
const WRITE_ENABLE = 0x06
const PLAIN_READ = 0x03
const PAGE_PROGRAM = 0x02
const SECTOR_ERASE = 0x20
const UNIQUE_ID = 0x4b

const BUSY = 1 << 0
const WRITE_ENABLED = 1 << 1

/** An erase or a program, as the flash began it. */
export interface FlashOperation {
  readonly kind: 'erase' | 'program'
  readonly offset: number
  readonly bytes: number
}

/** When the power goes: in operation `operation`, counted from 0 since power-on, after `fraction` of its time. */
export interface PowerCut {
  readonly operation: number
  /** 0 is before it changes anything, 1 when it is just complete. */
  readonly fraction: number
}

/**
 * A serial NOR flash of 2 MiB, byte by byte on its bus: write enable, busy time, page wrap, and programming that only
 * turns ones into zeros. Commands and rules as all makers of 25-series parts publish them.
 */
export class NorFlash {
  /** What is in it. */
  readonly bytes: Uint8Array
  /** Every erase and program since power-on. */
  readonly operations: FlashOperation[] = []
  /** How often each sector was erased in its life. */
  readonly eraseCounts: Uint32Array
  /** Told once, when the cut that was asked for has come. */
  onPowerCut: () => void = () => {}
  timing: { readonly pageProgramNs: number; readonly sectorEraseNs: number } = NOR_TIMING
  uniqueId: readonly number[] = [0x4e, 0x39, 0x00, 0x00, 0x00, 0x00, 0x00, 0x01]

  readonly #done: Alarm
  readonly #cutAlarm: Alarm
  #busy: (() => void) | null = null
  #interrupted: ((fraction: number) => void) | null = null
  #beganNs = 0
  #busyNs = 0
  #writeEnabled = false
  #cut: PowerCut | null = null
  #unpowered = false

  #selected = false
  #command = -1
  #received = 0
  #address = 0
  #page: number[] = []

  /** @param content what is in it, up to 2 MiB; the rest is erased. A `NorFlash` gives its content and its age. */
  constructor(
    private readonly timeline: Timeline,
    content: Uint8Array | NorFlash,
  ) {
    const old = content instanceof NorFlash ? content : null
    const bytes = content instanceof NorFlash ? content.bytes : content
    if (bytes.length > FLASH_BYTES) throw new RangeError('more than the flash holds')
    this.bytes = new Uint8Array(FLASH_BYTES).fill(0xff)
    this.bytes.set(bytes)
    this.eraseCounts = old ? old.eraseCounts.slice() : new Uint32Array(FLASH_BYTES / SECTOR_BYTES)
    if (old) {
      this.timing = old.timing
      this.uniqueId = old.uniqueId
    }
    this.#done = timeline.createAlarm(() => this.#complete())
    this.#cutAlarm = timeline.createAlarm(() => this.#goDark(this.#cut?.fraction ?? 1))
  }

  get busy(): boolean {
    return this.#busy !== null
  }

  /** Power goes at that point; what is under way is left half done. */
  cutPowerAt(cut: PowerCut): void {
    if (cut.operation < this.operations.length) throw new RangeError('that operation is over')
    this.#cut = cut
  }

  /** Power goes now, whatever is under way. */
  losePower(): void {
    const passed = this.#busyNs === 0 ? 0 : (this.timeline.nanos - this.#beganNs) / this.#busyNs
    this.#goDark(passed)
  }

  /** Chip select falls. */
  select(): void {
    this.#selected = true
    this.#command = -1
    this.#received = 0
    this.#address = 0
    this.#page = []
  }

  /** Chip select rises: what needs the whole command is begun now. */
  deselect(): void {
    if (!this.#selected) return
    this.#selected = false
    if (this.#busy !== null || this.#unpowered) return
    switch (this.#command) {
      case WRITE_ENABLE:
        if (this.#received === 1) this.#writeEnabled = true
        break
      case WRITE_DISABLE:
        this.#writeEnabled = false
        break
      case SECTOR_ERASE:
        if (this.#received === 4 && this.#writeEnabled) this.#erase(this.#address)
        break
      case PAGE_PROGRAM:
        if (this.#page.length > 0 && this.#writeEnabled) this.#program(this.#address, this.#page)
        break
    }
  }

  /** Eight clocks: a byte in, a byte out. */
  transfer(byte: number): number {
    if (!this.#selected || this.#unpowered) return 0xff
    const at = this.#received
    this.#received += 1
    if (at === 0) {
      this.#command = byte
      if (!KNOWN.has(byte)) throw new ChipTrap(`flash command ${hex(byte)} is not modelled`)
      return 0xff
    }
    if (this.#command === READ_STATUS) return this.#status
    // While it is busy it listens to nothing else.
    if (this.#busy !== null) return 0xff
    if (this.#command === UNIQUE_ID) return at < 5 ? 0xff : (this.uniqueId[(at - 5) % 8] as number)
    if (at <= 3) {
      this.#address = ((this.#address << 8) | byte) & 0xffffff
      return 0xff
    }
    if (this.#command === PLAIN_READ) return this.bytes[(this.#address + at - 4) % FLASH_BYTES] as number
    if (this.#command === PAGE_PROGRAM) {
      this.#page.push(byte)
      // Only the last 256 are kept, in their places.
      if (this.#page.length > PAGE_BYTES) {
        this.#page.shift()
        this.#address = wrapped(this.#address, 1)
      }
    }
    return 0xff
  }

  /** Whether a plain read is under way, which bounds the clock. */
  get readsPlainly(): boolean {
    return this.#selected && this.#command === PLAIN_READ
  }

  get #status(): number {
    return (this.#busy !== null ? BUSY : 0) | (this.#writeEnabled ? WRITE_ENABLED : 0)
  }

  #erase(address: number): void {
    const offset = (address % FLASH_BYTES) & ~(SECTOR_BYTES - 1)
    const sector = this.bytes.subarray(offset, offset + SECTOR_BYTES)
    this.eraseCounts[offset / SECTOR_BYTES] = (this.eraseCounts[offset / SECTOR_BYTES] as number) + 1
    const end = (): void => void sector.fill(0xff)
    const half = (fraction: number): void => {
      const dice = new Dice(this.operations.length)
      sector.forEach((byte, k) => (sector[k] = byte | dice.bits(fraction)))
    }
    this.#begin({ kind: 'erase', offset, bytes: SECTOR_BYTES }, this.timing.sectorEraseNs, end, half)
  }

  #program(address: number, page: readonly number[]): void {
    const start = address % FLASH_BYTES
    const clear = (survivors: () => number): void =>
      page.forEach((byte, k) => {
        const at = wrapped(start, k)
        this.bytes[at] = (this.bytes[at] as number) & (byte | survivors())
      })
    const half = (fraction: number): void => {
      const dice = new Dice(this.operations.length)
      clear(() => dice.bits(1 - fraction))
    }
    const operation = { kind: 'program', offset: start, bytes: page.length } as const
    this.#begin(operation, this.timing.pageProgramNs, () => clear(() => 0), half)
  }

  #begin(operation: FlashOperation, ns: number, end: () => void, half: (fraction: number) => void): void {
    const cut = this.#cut
    const cutNow = cut !== null && cut.operation === this.operations.length
    this.operations.push(operation)
    this.#busy = end
    this.#interrupted = half
    this.#beganNs = this.timeline.nanos
    this.#busyNs = ns
    this.#done.schedule(ns)
    if (!cutNow || cut.fraction >= 1) return
    if (cut.fraction === 0) this.#goDark(0)
    else this.#cutAlarm.schedule(ns * cut.fraction)
  }

  #complete(): void {
    this.#busy?.()
    this.#busy = null
    this.#writeEnabled = false
    if (this.#cut !== null && this.#cut.operation === this.operations.length - 1) this.#goDark(1)
  }

  #goDark(fraction: number): void {
    if (this.#unpowered) return
    this.#unpowered = true
    this.#done.cancel()
    this.#cutAlarm.cancel()
    if (this.#busy !== null && fraction > 0) this.#interrupted?.(fraction)
    this.#busy = null
    this.onPowerCut()
  }
}

const KNOWN = new Set([
  WRITE_DISABLE,
  READ_STATUS,
  WRITE_ENABLE,
  PLAIN_READ,
  PAGE_PROGRAM,
  SECTOR_ERASE,
  UNIQUE_ID,
])

/** An address `by` further, staying in its page. */
const wrapped = (address: number, by: number): number =>
  (address & ~(PAGE_BYTES - 1)) | ((address + by) & (PAGE_BYTES - 1))

/** Bytes of which each bit is set with some probability; the same every time. */
class Dice {
  #state: number

  constructor(seed: number) {
    this.#state = (Math.imul(seed + 1, 0x9e3779b1) ^ 0x5bd1e995) >>> 0
  }

  bits(probability: number): number {
    let byte = 0
    for (let k = 0; k < 8; k += 1) {
      this.#state = (Math.imul(this.#state, 1664525) + 1013904223) >>> 0
      if (this.#state / 2 ** 32 < probability) byte |= 1 << k
    }
    return byte
  }
}
