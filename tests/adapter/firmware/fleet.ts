import type { Clock } from '../../../src/adapter/clock.ts'
import type { PadMemory } from '../../reference/adapter/pad-memory.ts'
import { PAD_RECORD_BYTES } from '../../../src/adapter/constants.ts'
import type { Identity, InputEvent } from '../../../src/adapter/replies.ts'
import type { Connection, ConnectionListener } from '../../../src/adapter/transport.ts'
import { HostProgram, Message, Reader } from './host-program.ts'
import { Timers } from './timers.ts'
import { encodeReply, putPad } from '../../reference/adapter/link-device-codec.ts'

/** What a box of the host program is like at first. */
interface TestAdapter {
  readonly identity: Identity
  readonly active: number | null
  readonly banks: readonly (Uint8Array | null)[]
  /** How long a commit or a choice of bank takes the memory. */
  readonly workMs?: number
  readonly memoryFails?: boolean
  /** What it keeps of pads; nothing when left out. */
  readonly padMemory?: Pick<PadMemory, 'history' | 'lastActivity'>
}

/** What a box holds in the end. */
interface BoxState {
  readonly active: number | null
  readonly controls: number
  /** How many commits and choices of a bank were begun. */
  readonly beginnings: number
  readonly monitoring: boolean
  readonly padHistory: number
  readonly seenBytes: number
  readonly banks: readonly (Uint8Array | null)[]
}

const NO_BANK = 0xff
const NOT_AT_WORK = 0xffff
const LEVELS = ['low', 'high', 'unknown'] as const

/**
 * Many devices that run the link of the firmware in one host program, and one time for all of them. Time passes only when
 * nobody has anything to say at the present instant; what is asked of the devices in an instant crosses the pipe at once.
 */
export class Fleet implements Clock {
  nowMs = 0
  readonly #host: HostProgram
  readonly #timers = new Timers()
  #questions = new Message()
  #askers: ((answer: Reader) => void)[] = []
  #running = 0
  readonly #images = new WeakMap<Uint8Array, number>()
  #imageCount = 0

  constructor({ watched }: { readonly watched: boolean }) {
    this.#host = HostProgram.start('link-host.c', ['usb-link.c', 'image.c', 'crc32.c', 'cobs.c'], { watched })
  }

  stop(): Promise<void> {
    return this.#host.stop()
  }

  after(ms: number, run: () => void): () => void {
    return this.#timers.add(this.nowMs + ms, run)
  }

  /** Lets time pass until all of the work is done; fails when it waits for something that nothing will bring. */
  async run(work: readonly Promise<unknown>[]): Promise<void> {
    let failed: { readonly why: unknown } | null = null
    this.#running += work.length
    for (const one of work)
      one.then(
        () => this.#running--,
        (why: unknown) => {
          failed ??= { why }
          this.#running--
        },
      )
    for (;;) {
      await turn()
      if (this.#running === 0 || failed) break
      if (this.#askers.length > 0) await this.#flush()
      else if (!this.#timers.passTo((atMs) => (this.nowMs = atMs)))
        throw new Error('nothing will ever wake this up')
    }
    if (failed) throw (failed as { readonly why: unknown }).why
  }

  /** Asks one device something; the answer is read at the end of this instant. */
  ask<T>(
    device: number,
    letter: string,
    put: (question: Message) => void,
    read: (answer: Reader) => T,
  ): Promise<T> {
    put(this.#questions.u16(device).u8(letter.charCodeAt(0)))
    return new Promise((resolve) => this.#askers.push((answer) => resolve(read(answer))))
  }

  /** The number under which the host program knows an image, which must not change from now on. */
  imageNumber(image: Uint8Array): number {
    const known = this.#images.get(image)
    if (known !== undefined) return known
    this.#images.set(image, ++this.#imageCount)
    const nothing = () => undefined
    void this.ask(0, 'i', (question) => question.counted(image), nothing)
    return this.#imageCount
  }

  async #flush(): Promise<void> {
    const question = new Message().u32(this.nowMs).bytes(this.#questions.done()).done()
    const askers = this.#askers
    this.#questions = new Message()
    this.#askers = []
    const answer = new Reader(await this.#host.ask(question))
    for (const asker of askers) asker(answer)
  }
}

/** One device of the fleet, from the host's side. */
export class FleetDevice {
  readonly #fleet: Fleet
  readonly #number: number
  #listener: ((bytes: Uint8Array) => void) | null = null
  #callOff: () => void = () => undefined

  constructor(fleet: Fleet, number: number) {
    this.#fleet = fleet
    this.#number = number
  }

  /** Power comes on. */
  start(box: TestAdapter): void {
    const nothing = () => undefined
    const images = box.banks.map((image) => (image ? this.#fleet.imageNumber(image) : 0))
    const put = (question: Message) => {
      question.bytes(encodeReply('identify', box.identity)).u8(box.active ?? NO_BANK)
      for (const image of images) question.u16(image)
    }
    void this.#fleet.ask(this.#number, 'n', put, nothing)
    this.memory(box.workMs ?? 0, box.memoryFails ?? false)
    if (box.padMemory) this.#keep(box.padMemory)
  }

  #keep({ history, lastActivity }: Pick<PadMemory, 'history' | 'lastActivity'>): void {
    const put = (question: Message) => {
      question.u8(history.length)
      for (const { pad, descriptor } of history) {
        const bytes = new Uint8Array(PAD_RECORD_BYTES)
        putPad(new DataView(bytes.buffer), 0, pad)
        question.bytes(bytes).counted(descriptor)
      }
      question.counted(lastActivity ?? new Uint8Array())
    }
    void this.#fleet.ask(this.#number, 'k', put, () => undefined)
  }

  memory(workMs: number, fails: boolean): void {
    void this.#fleet.ask(
      this.#number,
      'w',
      (question) => question.u16(workMs).u8(fails ? 1 : 0),
      () => undefined,
    )
  }

  /** Where replies and events go from now on. */
  listen(listener: ((bytes: Uint8Array) => void) | null): void {
    this.#listener = listener
  }

  receive(bytes: Uint8Array): Promise<void> {
    return this.#serve('b', (question) => question.counted(bytes))
  }
  /** The main loop comes round. */
  poll(): Promise<void> {
    return this.#serve('p')
  }
  linkClosed(): Promise<void> {
    return this.#serve('c')
  }
  show({ controls, inputs, rises, select }: InputEvent): Promise<void> {
    return this.#serve('s', (question) =>
      question.u32(controls).u16(inputs).u16(rises).u8(LEVELS.indexOf(select)),
    )
  }

  #serve(letter: string, put: (question: Message) => void = () => undefined): Promise<void> {
    return this.#fleet.ask(this.#number, letter, put, (answer) => {
      const bytes = answer.counted()
      const workMs = answer.u16()
      this.#callOff()
      // The firmware's main loop looks again when the memory has done its work.
      if (workMs !== NOT_AT_WORK) this.#callOff = this.#fleet.after(workMs, () => void this.poll())
      if (bytes.length > 0) this.#listener?.(bytes)
    })
  }

  /** One bit for each bank that holds something else than it did when power came on. */
  changedBanks(): Promise<number> {
    return this.#fleet.ask(
      this.#number,
      'd',
      () => undefined,
      (answer) => answer.u8(),
    )
  }

  state(): Promise<BoxState> {
    return this.#fleet.ask(
      this.#number,
      'q',
      () => undefined,
      (answer) => {
        const active = answer.u8()
        const controls = answer.u32()
        const beginnings = answer.u32()
        const monitoring = answer.u8() !== 0
        const padHistory = answer.u8()
        const seenBytes = answer.u16()
        const banks = [0, 1, 2, 3]
          .map(() => answer.counted())
          .map((image) => (image.length > 0 ? image : null))
        return {
          active: active === NO_BANK ? null : active,
          controls,
          beginnings,
          monitoring,
          padHistory,
          seenBytes,
          banks,
        }
      },
    )
  }
}

/** What a line makes of the bytes of one transfer: pieces, and by how much each is late. */
export type Line = (bytes: Uint8Array) => readonly { readonly bytes: Uint8Array; readonly lateMs: number }[]
const goodLine: Line = (bytes) => [{ bytes, lateMs: 0 }]

/** A connection to a device over a line that may be bad. Nothing overtakes anything on it. */
export class FleetConnection implements Connection {
  closes = 0
  sends = 0
  readonly #fleet: Fleet
  readonly #device: FleetDevice
  readonly #toHost: Line
  readonly #toDevice: Line
  readonly #cutAtSend: number
  #listener: ConnectionListener | null = null
  #toDeviceFreeMs = 0
  #toHostFreeMs = 0
  #over = false

  /** @param cutAtSend the sending during which the cable is pulled */
  constructor(
    fleet: Fleet,
    device: FleetDevice,
    { toDevice = goodLine, toHost = goodLine, cutAtSend = Infinity }: Partial<Lines> = {},
  ) {
    this.#fleet = fleet
    this.#device = device
    this.#toDevice = toDevice
    this.#toHost = toHost
    this.#cutAtSend = cutAtSend
    device.listen((bytes) => this.#fromDevice(bytes))
  }

  listen(listener: ConnectionListener): void {
    this.#listener = listener
  }

  send(bytes: Uint8Array): void {
    if (this.#over) return
    if (++this.sends === this.#cutAtSend) {
      void this.#device.receive(bytes.subarray(0, bytes.length >> 1))
      this.#end()
      queueMicrotask(() => this.#listener?.lost())
      return
    }
    for (const { bytes: piece, lateMs } of this.#toDevice(bytes)) {
      this.#toDeviceFreeMs = Math.max(this.#toDeviceFreeMs, this.#fleet.nowMs + lateMs)
      this.#at(this.#toDeviceFreeMs, () => void this.#device.receive(piece))
    }
  }

  #fromDevice(bytes: Uint8Array): void {
    for (const { bytes: piece, lateMs } of this.#toHost(bytes)) {
      this.#toHostFreeMs = Math.max(this.#toHostFreeMs, this.#fleet.nowMs + lateMs)
      this.#at(this.#toHostFreeMs, () => queueMicrotask(() => this.#listener?.bytes(piece)))
    }
  }

  #at(atMs: number, run: () => void): void {
    if (this.#over) return
    if (atMs <= this.#fleet.nowMs) run()
    else this.#fleet.after(atMs - this.#fleet.nowMs, () => void (this.#over || run()))
  }

  close(): Promise<void> {
    this.closes++
    this.#end()
    return Promise.resolve()
  }

  #end(): void {
    if (this.#over) return
    this.#over = true
    this.#device.listen(null)
    void this.#device.linkClosed()
  }
}

interface Lines {
  readonly toDevice: Line
  readonly toHost: Line
  readonly cutAtSend: number
}

const turn = () => new Promise<void>((resolve) => setImmediate(resolve))
