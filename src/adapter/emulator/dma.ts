import { RegisterBlock } from './register-block.ts'
import { ChipTrap, hex } from './trap.ts'

const CHANNELS = 12
const INTR = 0x400
const INTE0 = 0x404
const INTF0 = 0x408
const INTS0 = 0x40c
const INTE1 = 0x414
const INTF1 = 0x418
const INTS1 = 0x41c
const MULTI_CHAN_TRIGGER = 0x430
const CHAN_ABORT = 0x444
const N_CHANNELS = 0x448

const EN = 1 << 0
const INCR_READ = 1 << 4
const INCR_WRITE = 1 << 5
const IRQ_QUIET = 1 << 21
const BSWAP = 1 << 22
const SNIFF_EN = 1 << 23
const BUSY = 1 << 24
const PERMANENT = 0x3f

/** Fewest and most cycles from a request to the written word: found by experiment on other emulation, not in the data sheet. */
const LATENCY = { least: 6, most: 9 } as const
/** How long before the write the word is fetched. */
const FETCH_BEFORE = 3

/** What the DMA reaches. */
export interface DmaSurroundings {
  readonly cycle: number
  /** Whether the peripheral behind a request number asks for a transfer (RP2040 datasheet §2.5.3.1). */
  requests(treq: number): boolean
  read(address: number, bytes: number): number
  write(address: number, value: number, bytes: number): void
  interrupt(line: 0 | 1, wanted: boolean): void
}

interface Channel {
  readAddress: number
  writeAddress: number
  count: number
  reload: number
  control: number
  /** The transfer under way: at which cycle it writes, and the word once it is fetched. */
  writesAt: number
  word: number | null
}

/**
 * DMA with time: each transfer takes 6 to 9 cycles from request to write, differently each time but the same in every
 * run, and a channel has one transfer under way (RP2040 datasheet §2.5). Slower than the real one for memory to memory.
 */
export class Dma extends RegisterBlock {
  readonly #channels: Channel[] = []
  #intr = 0
  readonly #inte = [0, 0]
  readonly #intf = [0, 0]
  #due = Infinity
  #dice = 1

  constructor(private readonly around: DmaSurroundings) {
    super()
    this.reset()
  }

  reset(): void {
    this.#channels.length = 0
    for (let k = 0; k < CHANNELS; k += 1) {
      const idle = { writesAt: Infinity, word: null }
      this.#channels.push({ readAddress: 0, writeAddress: 0, count: 0, reload: 0, control: 0, ...idle })
    }
    this.#intr = 0
    this.#inte.fill(0)
    this.#intf.fill(0)
    this.#due = Infinity
    this.#interrupts()
  }

  /** The next cycle at which something is to be done; infinity while nothing is under way or asked for. */
  get due(): number {
    return this.#due
  }

  /** Somebody may have begun to ask for transfers. */
  poke(): void {
    if (this.#channels.some((channel) => channel.control & BUSY)) {
      this.#due = Math.min(this.#due, this.around.cycle)
    }
  }

  step(atCycle: number): void {
    if (this.#due > atCycle) return
    this.#due = Infinity
    this.#channels.forEach((channel, index) => {
      if (!(channel.control & BUSY)) return
      if (channel.word === null && atCycle >= channel.writesAt - FETCH_BEFORE) this.#fetch(channel)
      if (atCycle >= channel.writesAt) this.#store(channel, index)
      this.#start(channel, atCycle)
    })
    // What was written may have touched other channels.
    for (const channel of this.#channels) this.#planAhead(channel)
  }

  #start(channel: Channel, atCycle: number): void {
    if (!(channel.control & BUSY) || !(channel.control & EN) || channel.writesAt !== Infinity) return
    const treq = (channel.control >>> 15) & 0x3f
    if (treq !== PERMANENT && !this.around.requests(treq)) return
    // The request was made in the cycle before.
    channel.writesAt = atCycle - 1 + this.#latency()
  }

  #planAhead(channel: Channel): void {
    if (channel.writesAt === Infinity) return
    const next = channel.word === null ? channel.writesAt - FETCH_BEFORE : channel.writesAt
    this.#due = Math.min(this.#due, next)
  }

  #latency(): number {
    this.#dice = (Math.imul(this.#dice, 1664525) + 1013904223) >>> 0
    return LATENCY.least + ((this.#dice >>> 16) % (LATENCY.most - LATENCY.least + 1))
  }

  #fetch(channel: Channel): void {
    channel.word = this.around.read(channel.readAddress, this.#size(channel))
  }

  #store(channel: Channel, index: number): void {
    const bytes = this.#size(channel)
    const word = channel.word as number
    channel.word = null
    channel.writesAt = Infinity
    this.around.write(channel.writeAddress, channel.control & BSWAP ? swapped(word, bytes) : word, bytes)
    if (channel.control & INCR_READ) channel.readAddress = this.#next(channel, channel.readAddress, false)
    if (channel.control & INCR_WRITE) channel.writeAddress = this.#next(channel, channel.writeAddress, true)
    channel.count = (channel.count - 1) >>> 0
    if (channel.count > 0) return
    channel.control &= ~BUSY
    if (!(channel.control & IRQ_QUIET)) {
      this.#intr |= 1 << index
      this.#interrupts()
    }
    const chained = (channel.control >>> 11) & 0xf
    if (chained !== index) this.#trigger(chained)
  }

  #size(channel: Channel): number {
    return 1 << ((channel.control >>> 2) & 3)
  }

  #next(channel: Channel, address: number, isWrite: boolean): number {
    const next = (address + this.#size(channel)) >>> 0
    const ring = (channel.control >>> 6) & 0xf
    const ringOnWrite = (channel.control & (1 << 10)) !== 0
    if (ring === 0 || ringOnWrite !== isWrite) return next
    const mask = (1 << ring) - 1
    return ((address & ~mask) | (next & mask)) >>> 0
  }

  #trigger(index: number): void {
    const channel = this.#channels[index]
    if (channel === undefined) return
    if (!(channel.control & EN) || channel.control & BUSY) return
    channel.count = channel.reload
    if (channel.count === 0) return
    channel.control |= BUSY
    this.#due = Math.min(this.#due, this.around.cycle + 1)
  }

  read(offset: number): number {
    if (offset < CHANNELS * 0x40) {
      const channel = this.#channels[offset >> 6] as Channel
      return [channel.readAddress, channel.writeAddress, channel.count, channel.control][
        FIELD_OF[(offset >> 2) & 0xf] as number
      ] as number
    }
    switch (offset) {
      case INTR:
        return this.#intr
      case INTE0:
      case INTE1:
        return this.#inte[offset === INTE0 ? 0 : 1] as number
      case INTF0:
      case INTF1:
        return this.#intf[offset === INTF0 ? 0 : 1] as number
      case INTS0:
      case INTS1:
        return this.#status(offset === INTS0 ? 0 : 1)
      case N_CHANNELS:
        return CHANNELS
      case CHAN_ABORT:
      case MULTI_CHAN_TRIGGER:
        return 0
      default:
        if (offset >= 0x800) return this.#channels[(offset - 0x800) >> 6]?.reload ?? 0
        throw new ChipTrap(`DMA register ${hex(offset)} is not modelled`)
    }
  }

  write(offset: number, value: number, raw: number): void {
    if (offset < CHANNELS * 0x40) return this.#writeChannel(offset >> 6, (offset >> 2) & 0xf, value)
    switch (offset) {
      case INTR:
      case INTS0:
      case INTS1:
        this.#intr &= ~raw
        break
      case INTE0:
      case INTE1:
        this.#inte[offset === INTE0 ? 0 : 1] = value
        break
      case INTF0:
      case INTF1:
        this.#intf[offset === INTF0 ? 0 : 1] = value
        break
      case MULTI_CHAN_TRIGGER:
        for (let k = 0; k < CHANNELS; k += 1) if ((value >> k) & 1) this.#trigger(k)
        break
      case CHAN_ABORT:
        for (const [k, channel] of this.#channels.entries()) {
          if (!((value >> k) & 1)) continue
          channel.control &= ~BUSY
          channel.writesAt = Infinity
          channel.word = null
        }
        break
      default:
        throw new ChipTrap(`DMA register ${hex(offset)} is not modelled`)
    }
    this.#interrupts()
  }

  #writeChannel(index: number, register: number, value: number): void {
    const channel = this.#channels[index] as Channel
    switch (FIELD_OF[register]) {
      case 0:
        channel.readAddress = value
        break
      case 1:
        channel.writeAddress = value
        break
      case 2:
        channel.reload = value
        break
      default:
        if (value & SNIFF_EN) throw new ChipTrap('the DMA sniffer is not modelled')
        channel.control = (channel.control & BUSY) | (value & 0x00ffffff)
        if (channel.control & BUSY) this.#due = Math.min(this.#due, this.around.cycle + 1)
    }
    // The last register of each row of four triggers (datasheet §2.5.2.1).
    if ((register & 3) !== 3) return
    if (value !== 0) this.#trigger(index)
    else if (channel.control & IRQ_QUIET) {
      this.#intr |= 1 << index
      this.#interrupts()
    }
  }

  #status(line: number): number {
    return (this.#intr & (this.#inte[line] as number)) | (this.#intf[line] as number)
  }

  #interrupts(): void {
    this.around.interrupt(0, this.#status(0) !== 0)
    this.around.interrupt(1, this.#status(1) !== 0)
  }
}

/** Which of read address, write address, count and control stands in each register of the four rows (datasheet §2.5.2.1). */
const FIELD_OF = [0, 1, 2, 3, 3, 0, 1, 2, 3, 2, 0, 1, 3, 1, 2, 0]

function swapped(word: number, bytes: number): number {
  if (bytes === 1) return word
  if (bytes === 2) return ((word & 0xff) << 8) | ((word >>> 8) & 0xff)
  return (((word & 0xff) << 24) | ((word & 0xff00) << 8) | ((word >>> 8) & 0xff00) | (word >>> 24)) >>> 0
}
