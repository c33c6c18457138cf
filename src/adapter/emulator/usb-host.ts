import type { Alarm, Timeline } from './timeline.ts'
import type { UsbController } from './usb-controller.ts'
import { parseConfiguration } from './usb-descriptors.ts'
import type { CdcEndpoints } from './usb-descriptors.ts'

/** A request on endpoint 0 (USB 2.0 §9.3). */
export interface ControlRequest {
  readonly bmRequestType: number
  readonly bRequest: number
  readonly wValue: number
  readonly wIndex: number
  /** Bytes to send, or how many are wanted. */
  readonly data?: Uint8Array
  readonly wLength?: number
}

export type ControlOutcome =
  { readonly kind: 'done'; readonly bytes: Uint8Array } | { readonly kind: 'stalled' | 'timed-out' | 'lost' }

/** A request on its way; it has an outcome when emulated time has brought one. */
export interface PendingControl {
  readonly outcome: ControlOutcome | null
}

export type HostState = 'unplugged' | 'waiting' | 'enumerating' | 'configured' | 'failed'

/** What the descriptors said during enumeration. */
export interface Enumerated {
  readonly device: Uint8Array
  readonly configuration: Uint8Array
  readonly strings: readonly string[]
}

const MS = 1_000_000
/** Attach debounce (USB 2.0 §7.1.7.3), reset from a root port (§7.1.7.5), recoveries (§7.1.7.5, §9.2.6.3). */
const DEBOUNCE_NS = 100 * MS
const RESET_NS = 50 * MS
const RESET_RECOVERY_NS = 10 * MS
const ADDRESS_RECOVERY_NS = 2 * MS
/** A request with data may take 5 s in all (§9.2.6.1). */
const REQUEST_LIMIT_NS = 5000 * MS
const SUSPEND_AFTER_NS = 3 * MS

const FRAME_NS = MS
/** A byte at 12 Mbit/s, and the 13 bytes around the data of a bulk transaction (§5.8.4, table 5-9). */
const BYTE_NS = 8000 / 12
const OVERHEAD_BYTES = 13
/** The start of frame, before anything else in the frame. */
const SOF_NS = 6 * BYTE_NS
/** A token that is answered with NAK, and how soon it is tried again. */
const NAK_NS = 8 * BYTE_NS
const PACKET = 64

type Wish =
  | { readonly do: 'wait'; readonly ns: number }
  | { readonly do: 'reset' }
  | { readonly do: 'recovered' }
  | { readonly do: 'setup'; readonly packet: Uint8Array }
  | { readonly do: 'in'; readonly endpoint: number; readonly data1: boolean }
  | { readonly do: 'out'; readonly endpoint: number; readonly data1: boolean; readonly bytes: Uint8Array }
type Granted =
  { readonly kind: 'ok'; readonly bytes: Uint8Array } | { readonly kind: 'stalled' | 'timed-out' }
type Script<Result> = Generator<Wish, Result, Granted>

class HostFault extends Error {}

/**
 * A computer at the other end of the cable: full-speed frames with 19 packets at most, enumeration with the pauses that
 * the standard asks for, and the driver of a serial port. All of it happens in emulated time.
 */
export class UsbHost {
  state: HostState = 'unplugged'
  /** What the device did that no device may, or why it was given up. */
  readonly faults: string[] = []
  enumerated: Enumerated | null = null
  /** Bytes from the open port. */
  onBytes: (bytes: Uint8Array) => void = () => {}
  /** The device has gone while the port was open. */
  onLost: () => void = () => {}
  onConfigured: () => void = () => {}
  /** The cable, and with it VBUS, comes or goes. */
  onPlugged: (plugged: boolean) => void = () => {}
  /** Packets moved, with their data. */
  packets = { in: 0, out: 0 }

  #address = 0
  #frame = 0
  #frameStartNs = -1
  #running = false
  #busyUntilNs = 0
  #wasConnected = false
  #endpoints: CdcEndpoints | null = null
  #open = false
  #inData1 = false
  #outData1 = false
  #noticeData1 = false
  readonly #toSend: number[] = []
  readonly #jobs: Script<void>[] = []
  #wish: Wish | null = null
  #wishedNs = 0
  #turn: 'in' | 'out' = 'in'
  /** What ends the transaction that has the bus. */
  #underWay: (() => void) | null = null
  /** The device had no room for the packet; hosts go on asking, which changes nothing. */
  #refused = false
  #noticeDue = false

  readonly #sofAlarm: Alarm
  readonly #nextAlarm: Alarm
  readonly #waitAlarm: Alarm
  readonly #suspendAlarm: Alarm

  constructor(
    private readonly time: Timeline,
    private readonly device: () => UsbController | null,
  ) {
    this.#sofAlarm = time.createAlarm(() => this.#startFrame())
    this.#nextAlarm = time.createAlarm(() => this.#transact())
    this.#waitAlarm = time.createAlarm(() => this.#grant({ kind: 'ok', bytes: new Uint8Array() }))
    this.#suspendAlarm = time.createAlarm(() => this.device()?.suspend())
  }

  /** Plugs the cable in. */
  attach(): void {
    if (this.state !== 'unplugged') return
    this.state = 'waiting'
    this.onPlugged(true)
    this.deviceChanged()
  }

  /** Pulls the cable. */
  detach(): void {
    this.#lose()
    this.state = 'unplugged'
    this.#wasConnected = false
    this.onPlugged(false)
  }

  get plugged(): boolean {
    return this.state !== 'unplugged'
  }

  get portIsOpen(): boolean {
    return this.#open
  }

  /** Opens the serial port: line coding, then DTR and RTS (CDC PSTN 1.2 §6.3.10, §6.3.12). */
  openPort(): void {
    if (this.state !== 'configured') throw new Error('there is no port to open')
    this.control({
      bmRequestType: 0x21,
      bRequest: 0x20,
      wValue: 0,
      wIndex: 0,
      data: Uint8Array.of(0x00, 0xc2, 0x01, 0x00, 0, 0, 8),
    })
    this.#lineState(3)
    this.#open = true
    this.#soon()
  }

  /** Closes it: DTR falls; what was not sent is dropped. */
  closePort(): void {
    if (!this.#open) return
    this.#open = false
    this.#toSend.length = 0
    this.#lineState(0)
  }

  send(bytes: Uint8Array): void {
    if (!this.#open) throw new Error('the port is not open')
    for (const byte of bytes) this.#toSend.push(byte)
    this.#soon()
  }

  /** Bytes that still wait to be sent. */
  get unsent(): number {
    return this.#toSend.length
  }

  /** A request on endpoint 0, after those that wait. */
  control(request: ControlRequest): PendingControl {
    const pending: { outcome: ControlOutcome | null } = { outcome: null }
    const run = this.#control(request)
    this.#queue(
      (function* (): Script<void> {
        pending.outcome = yield* run
      })(),
    )
    return pending
  }

  /** No more frames: the device sees the bus suspended after 3 ms (USB 2.0 §7.1.7.6). */
  suspend(): void {
    this.#running = false
    this.#underWay = null
    this.#sofAlarm.cancel()
    this.#nextAlarm.cancel()
    this.#suspendAlarm.schedule(SUSPEND_AFTER_NS)
  }

  resume(): void {
    this.#suspendAlarm.cancel()
    this.device()?.resume()
    this.#run()
  }

  /** The controller may be connected or not, may have something to give or take. */
  deviceChanged(): void {
    if (this.state === 'unplugged') return
    const connected = this.device()?.connected ?? false
    if (connected === this.#wasConnected) {
      if (connected) this.#again()
      return
    }
    this.#wasConnected = connected
    this.#lose()
    this.state = 'waiting'
    if (connected) this.#queue(this.#enumerate())
  }

  /** What was refused may be taken now: the host comes round after the time of a refusal. */
  #again(): void {
    this.#refused = false
    if (!this.#running || this.#nextAlarm.scheduled) return
    this.#nextAlarm.schedule(Math.max(NAK_NS, this.#busyUntilNs - this.time.nanos))
  }

  #lose(): void {
    const wasOpen = this.#open
    this.#open = false
    this.#running = false
    this.#endpoints = null
    this.enumerated = null
    this.#address = 0
    this.#toSend.length = 0
    this.#jobs.length = 0
    this.#wish = null
    this.#underWay = null
    this.#refused = false
    for (const alarm of [this.#sofAlarm, this.#nextAlarm, this.#waitAlarm, this.#suspendAlarm]) alarm.cancel()
    if (wasOpen) this.onLost()
  }

  #lineState(bits: number): void {
    this.control({ bmRequestType: 0x21, bRequest: 0x22, wValue: bits, wIndex: 0 })
  }

  // Scripts: what the host does one thing after another.

  *#enumerate(): Script<void> {
    try {
      yield { do: 'wait', ns: DEBOUNCE_NS }
      this.state = 'enumerating'
      yield { do: 'reset' }
      yield { do: 'wait', ns: RESET_NS }
      yield { do: 'recovered' }
      yield { do: 'wait', ns: RESET_RECOVERY_NS }
      yield* this.#descriptor(1, 0, 8)
      yield* this.#must({ bmRequestType: 0x00, bRequest: 5, wValue: 5, wIndex: 0 })
      this.#address = 5
      yield { do: 'wait', ns: ADDRESS_RECOVERY_NS }
      const device = yield* this.#descriptor(1, 0, 18)
      if (device.length !== 18) throw new HostFault(`the device descriptor has ${device.length} bytes`)
      const head = yield* this.#descriptor(2, 0, 9)
      const total = (head[2] ?? 0) | ((head[3] ?? 0) << 8)
      const configuration = yield* this.#descriptor(2, 0, total)
      if (configuration.length !== total)
        throw new HostFault(`the configuration gives ${configuration.length} of ${total} bytes`)
      const strings: string[] = []
      for (const index of [device[14], device[15], device[16]]) {
        if (!index) continue
        const bytes = yield* this.#descriptor(3, index, 255, 0x0409)
        strings.push(new TextDecoder('utf-16le').decode(bytes.subarray(2)))
      }
      const parsed = parseConfiguration(configuration)
      if (typeof parsed === 'string') throw new HostFault(parsed)
      yield* this.#must({ bmRequestType: 0x00, bRequest: 9, wValue: configuration[5] ?? 0, wIndex: 0 })
      this.#endpoints = parsed
      this.#inData1 = this.#outData1 = this.#noticeData1 = false
      this.enumerated = { device, configuration, strings }
      this.state = 'configured'
      this.onConfigured()
    } catch (error) {
      if (!(error instanceof HostFault)) throw error
      this.faults.push(error.message)
      this.state = 'failed'
    }
  }

  *#descriptor(type: number, index: number, length: number, language = 0): Script<Uint8Array> {
    const request = { bmRequestType: 0x80, bRequest: 6, wValue: (type << 8) | index, wIndex: language }
    return yield* this.#must({ ...request, wLength: length })
  }

  *#must(request: ControlRequest): Script<Uint8Array> {
    const outcome = yield* this.#control(request)
    if (outcome.kind === 'done') return outcome.bytes
    throw new HostFault(`request ${request.bRequest} of ${request.bmRequestType} ${outcome.kind}`)
  }

  /** Setup, data and status stage (USB 2.0 §8.5.3). */
  *#control(request: ControlRequest): Script<ControlOutcome> {
    const { data = new Uint8Array() } = request
    const isIn = (request.bmRequestType & 0x80) !== 0
    const wLength = isIn ? (request.wLength ?? 0) : data.length
    const packet = Uint8Array.of(
      request.bmRequestType,
      request.bRequest,
      request.wValue & 0xff,
      request.wValue >> 8,
      request.wIndex & 0xff,
      request.wIndex >> 8,
      wLength & 0xff,
      wLength >> 8,
    )
    yield { do: 'setup', packet }
    const got: number[] = []
    let data1 = true
    let moved = 0
    while (moved < wLength) {
      const bytes = data.subarray(moved, moved + PACKET)
      const answer: Granted = isIn
        ? yield { do: 'in', endpoint: 0, data1 }
        : yield { do: 'out', endpoint: 0, data1, bytes }
      if (answer.kind !== 'ok') return { kind: answer.kind }
      data1 = !data1
      if (isIn) got.push(...answer.bytes)
      moved += isIn ? answer.bytes.length : bytes.length
      if (isIn && answer.bytes.length < PACKET) break
    }
    if (got.length > wLength) this.faults.push(`${got.length} bytes for a request of ${wLength}`)
    const status: Granted =
      isIn && wLength > 0
        ? yield { do: 'out', endpoint: 0, data1: true, bytes: new Uint8Array() }
        : yield { do: 'in', endpoint: 0, data1: true }
    return status.kind === 'ok' ? { kind: 'done', bytes: Uint8Array.from(got) } : { kind: status.kind }
  }

  #queue(job: Script<void>): void {
    this.#jobs.push(job)
    if (this.#jobs.length === 1) this.#next(job.next())
  }

  #grant(granted: Granted): void {
    const job = this.#jobs[0]
    if (job !== undefined) this.#next(job.next(granted))
  }

  #next(result: IteratorResult<Wish, void>): void {
    this.#wish = null
    if (!result.done) return this.#begin(result.value)
    this.#jobs.shift()
    const next = this.#jobs[0]
    if (next !== undefined) this.#next(next.next())
    else this.#soon()
  }

  #begin(wish: Wish): void {
    if (wish.do === 'wait') this.#waitAlarm.schedule(wish.ns)
    else if (wish.do === 'reset') {
      this.device()?.busReset()
      this.#waitAlarm.schedule(0)
    } else if (wish.do === 'recovered') {
      this.#run()
      this.#waitAlarm.schedule(0)
    } else {
      this.#wish = wish
      this.#wishedNs = this.time.nanos
      this.#soon()
    }
  }

  // Frames: what happens when.

  #run(): void {
    this.#running = true
    this.#sofAlarm.schedule(0)
  }

  #startFrame(): void {
    if (!this.#running) return
    this.#frameStartNs = this.time.nanos
    this.#frame = (this.#frame + 1) & 0x7ff
    this.device()?.startOfFrame(this.#frame)
    this.#sofAlarm.schedule(FRAME_NS)
    this.#busyUntilNs = this.#frameStartNs + SOF_NS
    this.#refused = false
    this.#noticeDue = this.#endpoints !== null && this.#frame % this.#endpoints.noticeInterval === 0
    if (this.#wish !== null && this.time.nanos - this.#wishedNs > REQUEST_LIMIT_NS)
      this.#grant({ kind: 'timed-out' })
    this.#soon()
  }

  /** Looks for the next transaction once the bus is free. */
  #soon(): void {
    if (!this.#running || this.#nextAlarm.scheduled) return
    this.#nextAlarm.schedule(Math.max(0, this.#busyUntilNs - this.time.nanos))
  }

  /** Takes the bus for so long, if that fits into what is left of the frame, and then does what follows of it. */
  #take(ns: number, then: () => void): boolean {
    const end = this.time.nanos + ns
    if (this.time.nanos < this.#busyUntilNs || end > this.#frameStartNs + FRAME_NS) return false
    this.#busyUntilNs = end
    this.#underWay = then
    this.#nextAlarm.schedule(ns)
    return true
  }

  /** The end of a transaction, or the beginning of the next. */
  #transact(): void {
    const ended = this.#underWay
    this.#underWay = null
    ended?.()
    if (!this.#running || this.#underWay !== null || this.time.nanos < this.#busyUntilNs) return
    if (this.#wish !== null && this.#beginWish(this.#wish)) return
    if (this.#open && this.#endpoints !== null) this.#beginBulk(this.#endpoints)
  }

  #beginWish(wish: Wish): boolean {
    if (this.device()?.address !== this.#address) return false
    const grant = (bytes: Uint8Array | 'stall'): void =>
      this.#grant(bytes === 'stall' ? { kind: 'stalled' } : { kind: 'ok', bytes })
    if (wish.do === 'setup') {
      return this.#take(costOf(8), () => {
        this.device()?.setup(wish.packet)
        grant(NOTHING)
      })
    }
    if (wish.do === 'in') return this.#in(wish.endpoint, wish.data1, grant)
    if (wish.do !== 'out') return false
    return this.#out(wish.endpoint, wish.data1, wish.bytes, (answer) =>
      grant(answer === 'stall' ? answer : NOTHING),
    )
  }

  /** In turns, so that neither direction starves the other. */
  #beginBulk(endpoints: CdcEndpoints): void {
    const inFirst = this.#turn === 'in'
    const begun = inFirst
      ? (this.#bulkIn(endpoints.in) && 'in') || (this.#bulkOut(endpoints.out) && 'out')
      : (this.#bulkOut(endpoints.out) && 'out') || (this.#bulkIn(endpoints.in) && 'in')
    if (begun) this.#turn = begun === 'in' ? 'out' : 'in'
    else if (this.#noticeDue) this.#noticeDue = this.#notice(endpoints.notice)
  }

  #bulkIn(endpoint: number): boolean {
    return this.#in(endpoint, this.#inData1, (bytes) => {
      if (bytes === 'stall') return
      this.#inData1 = !this.#inData1
      if (bytes.length > 0) this.onBytes(bytes)
    })
  }

  #bulkOut(endpoint: number): boolean {
    if (this.#toSend.length === 0) return false
    const bytes = Uint8Array.from(this.#toSend.slice(0, PACKET))
    return this.#out(endpoint, this.#outData1, bytes, (answer) => {
      if (answer === 'stall') return
      this.#outData1 = !this.#outData1
      this.#toSend.splice(0, bytes.length)
    })
  }

  #notice(endpoint: number): boolean {
    this.#in(endpoint, this.#noticeData1, () => {
      this.#noticeData1 = !this.#noticeData1
    })
    return false
  }

  #in(endpoint: number, data1: boolean, then: (bytes: Uint8Array | 'stall') => void): boolean {
    const answer = this.device()?.in(endpoint) ?? { kind: 'silence' }
    if (answer.kind === 'stall') return this.#take(NAK_NS, () => then('stall'))
    if (answer.kind !== 'data') return false
    return this.#take(costOf(answer.bytes.length), () => {
      this.device()?.inTaken(endpoint)
      this.packets.in += 1
      // A host takes a wrong toggle for a packet that came twice: acknowledges it and drops it (USB 2.0 §8.6.4).
      if (answer.data1 === data1) then(answer.bytes)
      else
        this.faults.push(
          `endpoint ${endpoint} IN: DATA${answer.data1 ? 1 : 0} where DATA${data1 ? 1 : 0} was due`,
        )
      this.#soon()
    })
  }

  /** A packet that is refused has cost its time; it goes again when the device changes, or in the next frame. */
  #out(
    endpoint: number,
    data1: boolean,
    bytes: Uint8Array,
    then: (answer: 'ack' | 'stall') => void,
  ): boolean {
    if (this.#refused) return false
    return this.#take(costOf(bytes.length), () => {
      const answer = this.device()?.out(endpoint, data1, bytes) ?? 'silence'
      if (answer === 'ack') this.packets.out += 1
      if (answer === 'ack' || answer === 'stall') then(answer)
      else this.#refused = true
      this.#soon()
    })
  }
}

const NOTHING = new Uint8Array()
const costOf = (bytes: number): number => (bytes + OVERHEAD_BYTES) * BYTE_NS
