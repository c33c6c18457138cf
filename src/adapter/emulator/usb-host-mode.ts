import type { Alarm, Timeline } from './timeline.ts'
import { ChipTrap, hex } from './trap.ts'
import type { BusDevice, TokenAnswer } from './usb-bus.ts'
import {
  SIE_CTRL,
  SIE_STATUS,
  USB,
  USB_BUFFER,
  USB_BUFFER_LENGTH,
  USB_INT,
  USB_RAM,
} from './usb-registers.ts'

/**
 * The USB controller as a host (RP2040 datasheet §4.1.2.7, registers §4.1.4), with what is known of its silicon:
 *
 * - What it writes back to buffer control goes to the lower and the upper half in turns, also with single buffers (RP2040-E4).
 * - A packet with the wrong toggle is not acknowledged (tracker of the chip's maker, issue 394). For the endpoints that the
 *   controller polls by itself nobody is told, and it asks for ever: so INT_EP_CTRL is refused here. EPX set up as an interrupt
 *   endpoint ends after one handshake, a NAK included (same place).
 * - START_TRANS needs the rest of SIE_CTRL to have stood for a while, as AVAILABLE does (§4.1.2.5.1; from experience of others).
 *
 * Where it is not known what the silicon does, the worse is done: a packet that is too long is stored whole.
 */

const CTRL = {
  start: SIE_CTRL.startTrans,
  setup: SIE_CTRL.sendSetup,
  out: SIE_CTRL.sendData,
  in: SIE_CTRL.receiveData,
  stop: SIE_CTRL.stopTrans,
  sof: SIE_CTRL.sofEn,
  keepAlive: SIE_CTRL.keepAliveEn,
  reset: SIE_CTRL.resetBus,
  pullDown: SIE_CTRL.pulldownEn,
} as const
const CTRL_KNOWN = Object.values(CTRL).reduce((all, bit) => all | bit, 0)
const DIRECTIONS = CTRL.setup | CTRL.out | CTRL.in

const STATUS = {
  resume: SIE_STATUS.resume,
  complete: SIE_STATUS.transComplete,
  crc: SIE_STATUS.crcError,
  bitStuff: SIE_STATUS.bitStuffError,
  overflow: SIE_STATUS.rxOverflow,
  timeout: SIE_STATUS.rxTimeout,
  nak: SIE_STATUS.nakRec,
  stall: SIE_STATUS.stallRec,
  ack: SIE_STATUS.ackRec,
  sequence: SIE_STATUS.dataSeqError,
} as const
const STATUS_CLEARABLE = Object.values(STATUS).reduce((all, bit) => all | bit, 0)
const SPEED_SHIFT = 8
const SPEED_BITS = 3 << SPEED_SHIFT

const INT = {
  connection: USB_INT.hostConnDis,
  resume: USB_INT.hostResume,
  sof: USB_INT.hostSof,
  complete: USB_INT.transComplete,
  buffer: USB_INT.buffStatus,
  sequence: USB_INT.errorDataSeq,
  timeout: USB_INT.errorRxTimeout,
  overflow: USB_INT.errorRxOverflow,
  bitStuff: USB_INT.errorBitStuff,
  crc: USB_INT.errorCrc,
  stall: USB_INT.stall,
} as const

const RAM_BYTES = 0x1000

const BUFFER = { ...USB_BUFFER, length: USB_BUFFER_LENGTH }
const ENDPOINT = { enable: 1 << 31, double: 1 << 30, signal: 1 << 29, typeShift: 26, at: 0xffc0 }
const TYPE = { control: 0, interrupt: 3 } as const

/** What must have stood before START_TRANS has done so for this long: a cycle of clk_usb is 2.6 of clk_sys. */
const SETTLE_CYCLES = 3
const FRAME_NS = 1_000_000
const US = 1000
/** How long RESET_BUS drives the lines before it clears itself. Not documented; short, so that nobody relies on it. */
const RESET_NS = 12_000_000
/** A byte at each speed; token, handshake and gaps around the data of a packet (USB 2.0 §5.8.4, table 5-9). */
const BYTE_NS = { full: 8000 / 12, low: 8000 / 1.5 } as const
const OVERHEAD_BYTES = 13
const NAK_BYTES = 8
const SOF_BYTES = 6
/** A packet as long as this is sent by no device at these speeds (USB 2.0 §5.6.3). */
const LONGEST_PACKET = 1023

export interface HostSurroundings {
  readonly ram: Uint8Array
  readonly time: Timeline
  cycle(): number
  /** Interrupts have come or gone. */
  changed(): void
  device(): BusDevice | null
}

interface Transaction {
  readonly what: 'setup' | 'in' | 'out'
  /** Interrupt endpoints end with the first handshake; on others a NAK is asked again. */
  readonly once: boolean
}

export class UsbHostMode {
  /** Transactions that have ended with data, for tests: when, and which endpoint. */
  onData: (atNs: number, endpoint: number) => void = () => {}

  readonly #view: DataView
  #running = false
  #address = 0
  #ctrl = 0
  #ctrlWritten = -Infinity
  #status = 0
  #speed = 0
  #latched = 0
  #buff = 0
  #shouldHandle = 0
  #nakPoll = 0x00100010
  #frame = 0
  #frameStartNs = 0
  /** Which half of buffer control is written to next. */
  #upperHalf = false
  #transaction: Transaction | null = null
  #inFlight = false
  readonly #frameAlarm: Alarm
  readonly #nextAlarm: Alarm
  readonly #resetAlarm: Alarm
  #ends: () => void = () => {}

  constructor(private readonly around: HostSurroundings) {
    this.#view = new DataView(around.ram.buffer, around.ram.byteOffset)
    this.#frameAlarm = around.time.createAlarm(() => this.#startFrame())
    this.#nextAlarm = around.time.createAlarm(() => this.#onward())
    this.#resetAlarm = around.time.createAlarm(() => this.#endReset())
  }

  /** The controller is switched on as a host, fresh from reset. */
  start(): void {
    this.#running = true
    this.lineChanged()
  }

  /** As out of reset: nothing is on its way. */
  reset(): void {
    if (this.#ctrl & CTRL.reset) this.around.device()?.reset(false)
    for (const alarm of [this.#frameAlarm, this.#nextAlarm, this.#resetAlarm]) alarm.cancel()
    this.#running = this.#inFlight = this.#upperHalf = false
    this.#transaction = null
    this.#address = this.#ctrl = this.#status = this.#speed = this.#latched = this.#buff = 0
    this.#shouldHandle = this.#frame = 0
    this.#nakPoll = 0x00100010
    this.#ctrlWritten = -Infinity
  }

  /** A device was connected, has gone, or has changed its mind. */
  lineChanged(): void {
    if (!this.#running) return
    const device = this.around.device()
    const seen = (this.#ctrl & CTRL.pullDown) !== 0 && device?.connected
    const speed = seen ? (device.speed === 'low' ? 1 : 2) : 0
    if (speed === this.#speed) return
    this.#speed = speed
    this.#latched |= INT.connection
    this.around.changed()
  }

  get interrupts(): number {
    const status = this.#status
    return (
      this.#latched |
      (this.#buff !== 0 ? INT.buffer : 0) |
      (status & STATUS.complete ? INT.complete : 0) |
      (status & STATUS.sequence ? INT.sequence : 0) |
      (status & STATUS.timeout ? INT.timeout : 0) |
      (status & STATUS.overflow ? INT.overflow : 0) |
      (status & STATUS.bitStuff ? INT.bitStuff : 0) |
      (status & STATUS.crc ? INT.crc : 0) |
      (status & STATUS.stall ? INT.stall : 0) |
      (status & STATUS.resume ? INT.resume : 0)
    )
  }

  peek(offset: number): number {
    return offset === USB.sofRd ? this.#frame : this.read(offset)
  }

  read(offset: number): number {
    switch (offset) {
      case USB.addrEndp:
        return this.#address
      case USB.sofRd:
        this.#latched &= ~INT.sof
        this.around.changed()
        return this.#frame
      case USB.sieCtrl:
        return this.#ctrl
      case USB.sieStatus:
        return this.#status | (this.#speed << SPEED_SHIFT)
      case USB.buffStatus:
        return this.#buff
      case USB.buffCpuShouldHandle:
        return this.#shouldHandle
      case USB.nakPoll:
        return this.#nakPoll
      case USB.intEpCtrl:
        return 0
      default:
        throw new ChipTrap(`USB register ${hex(offset)} is not modelled for a host`)
    }
  }

  write(offset: number, value: number, raw: number): void {
    switch (offset) {
      case USB.addrEndp:
        if (this.#transaction !== null)
          throw new ChipTrap('the address is changed while a transaction goes on')
        this.#address = value & 0x000f007f
        this.#ctrlWritten = this.around.cycle()
        break
      case USB.sofWr:
        this.#frame = value & 0x7ff
        break
      case USB.sieCtrl:
        this.#control(value)
        break
      case USB.sieStatus:
        this.#status &= ~(raw & STATUS_CLEARABLE)
        if (raw & SPEED_BITS) this.#latched &= ~INT.connection
        break
      case USB.intEpCtrl:
        if (value !== 0)
          throw new ChipTrap('endpoints that the controller polls hang on a wrong toggle: use EPX instead')
        break
      case USB.buffStatus:
        this.#buff &= ~raw
        break
      case USB.nakPoll:
        this.#nakPoll = value & 0x03ff03ff
        break
      default:
        throw new ChipTrap(`USB register ${hex(offset)} is not modelled for a host`)
    }
    this.around.changed()
  }

  // SIE_CTRL.

  #control(value: number): void {
    if (value & ~CTRL_KNOWN) throw new ChipTrap(`SIE_CTRL bits ${hex(value & ~CTRL_KNOWN)} are not modelled`)
    const before = this.#ctrl
    const others = ~(CTRL.start | CTRL.stop | CTRL.reset)
    const kept = before & (CTRL.start | CTRL.stop)
    if ((value ^ before) & others) {
      if (this.#transaction !== null && (value ^ before) & DIRECTIONS)
        throw new ChipTrap('the direction is changed while a transaction goes on')
      this.#ctrlWritten = this.around.cycle()
    }
    this.#ctrl = (value & (others | CTRL.reset)) | kept
    if ((value ^ before) & CTRL.pullDown) this.lineChanged()
    if (value & CTRL.reset && !(before & CTRL.reset)) this.#beginReset()
    if (!(value & CTRL.reset) && before & CTRL.reset) this.#endReset()
    if (value & (CTRL.sof | CTRL.keepAlive)) {
      if (!this.#frameAlarm.scheduled) this.#frameAlarm.schedule(0)
    } else this.#frameAlarm.cancel()
    if (value & CTRL.stop) this.#stop()
    else if (value & CTRL.start) this.#begin()
  }

  #beginReset(): void {
    if (this.#transaction !== null) throw new ChipTrap('the bus is reset in the midst of a transaction')
    this.around.device()?.reset(true)
    this.#resetAlarm.schedule(RESET_NS)
  }

  #endReset(): void {
    this.#resetAlarm.cancel()
    this.#ctrl &= ~CTRL.reset
    this.around.device()?.reset(false)
    // Lines that were low come up again: that may be taken for a device that has just come.
    if (this.#speed !== 0) this.#latched |= INT.connection
    this.around.changed()
  }

  #stop(): void {
    if (this.#inFlight) {
      // What is on the wire runs to its end.
      this.#ctrl |= CTRL.stop
      return
    }
    this.#idle()
  }

  #idle(): void {
    this.#nextAlarm.cancel()
    this.#transaction = null
    this.#inFlight = false
    this.#ctrl &= ~(CTRL.start | CTRL.stop)
  }

  // Frames and transactions.

  get #byteNs(): number {
    return this.#speed === 1 ? BYTE_NS.low : BYTE_NS.full
  }

  #startFrame(): void {
    this.#frameAlarm.schedule(FRAME_NS)
    this.#frameStartNs = this.around.time.nanos
    if (this.#ctrl & CTRL.reset) return
    this.#frame = (this.#frame + 1) & 0x7ff
    this.around.device()?.frame()
    this.#latched |= INT.sof
    this.around.changed()
  }

  #begin(): void {
    const ctrl = this.#ctrl
    if (this.#transaction !== null) throw new ChipTrap('START_TRANS while a transaction goes on')
    if (this.around.cycle() - this.#ctrlWritten < SETTLE_CYCLES)
      throw new ChipTrap(`START_TRANS before the rest has stood for ${SETTLE_CYCLES} cycles`)
    if (ctrl & CTRL.reset) throw new ChipTrap('START_TRANS while the bus is reset')
    const frames = this.#speed === 1 ? CTRL.keepAlive : CTRL.sof
    if (this.#speed !== 0 && !(ctrl & frames))
      throw new ChipTrap('a transaction without frames: the device sleeps')
    this.#transaction = this.#whatIsAsked(ctrl & DIRECTIONS)
    this.#ctrl |= CTRL.start
    this.#nextAlarm.schedule(0)
  }

  #whatIsAsked(direction: number): Transaction {
    if (direction === CTRL.setup) return { what: 'setup', once: true }
    if (direction !== CTRL.in && direction !== CTRL.out)
      throw new ChipTrap(`a transaction of directions ${hex(direction)} is not modelled`)
    const endpoint = this.#view.getUint32(USB_RAM.epxControlAt, true)
    if (!(endpoint & ENDPOINT.enable)) throw new ChipTrap('START_TRANS, but EPX is not enabled')
    if (endpoint & ENDPOINT.double) throw new ChipTrap('double buffering is not modelled')
    const type = (endpoint >> ENDPOINT.typeShift) & 3
    if (type !== TYPE.control && type !== TYPE.interrupt)
      throw new ChipTrap(`EPX of type ${type} is not modelled`)
    const at = endpoint & ENDPOINT.at
    if (at < USB_RAM.freeAt || at > RAM_BYTES - 64) throw new ChipTrap(`the buffer of EPX lies at ${hex(at)}`)
    const buffer = this.#view.getUint32(USB_RAM.epxBufferControlAt, true)
    if (!(buffer & BUFFER.available)) throw new ChipTrap('START_TRANS, but no buffer is available')
    if (!(buffer & BUFFER.last)) throw new ChipTrap('transfers of several buffers are not modelled')
    if ((buffer & BUFFER.length) > 64) throw new ChipTrap(`a buffer of ${buffer & BUFFER.length} bytes`)
    const isIn = direction === CTRL.in
    if (isIn === ((buffer & BUFFER.full) !== 0)) throw new ChipTrap('FULL does not go with the direction')
    return { what: isIn ? 'in' : 'out', once: type === TYPE.interrupt }
  }

  #onward(): void {
    if (this.#inFlight) {
      this.#inFlight = false
      const stopped = (this.#ctrl & CTRL.stop) !== 0
      this.#ends()
      if (stopped) this.#idle()
      this.around.changed()
      return
    }
    this.#attempt()
  }

  /** Puts the transaction on the wire, in this frame or the next. */
  #attempt(): void {
    const transaction = this.#transaction
    if (transaction === null) return
    const { time } = this.around
    const longest = transaction.what === 'setup' ? 8 : this.#bufferControl & BUFFER.length
    const worstNs = (longest + OVERHEAD_BYTES) * this.#byteNs
    const busyUntil = this.#frameStartNs + SOF_BYTES * this.#byteNs
    if (time.nanos < busyUntil) return this.#nextAlarm.schedule(busyUntil - time.nanos)
    if (this.#speed !== 0 && time.nanos + worstNs > this.#frameStartNs + FRAME_NS)
      return this.#nextAlarm.schedule(busyUntil + FRAME_NS - time.nanos)
    this.#send(transaction)
  }

  #take(bytes: number, ends: () => void): void {
    this.#inFlight = true
    this.#ends = ends
    this.#nextAlarm.schedule(bytes * this.#byteNs)
  }

  #send({ what, once }: Transaction): void {
    const device = this.#speed === 0 ? null : this.around.device()
    const [address, endpoint] = [this.#address & 0x7f, this.#address >> 16]
    if (what === 'setup') {
      const answer =
        device?.setup(address, this.around.ram.slice(USB_RAM.setupAt, USB_RAM.setupAt + 8)) ?? 'silence'
      return this.#take(8 + OVERHEAD_BYTES, () => {
        this.#status |= answer === 'ack' ? STATUS.ack | STATUS.complete : STATUS.timeout
        this.#idle()
      })
    }
    if (what === 'in') {
      const answer = device?.in(address, endpoint) ?? { kind: 'silence' }
      const bytes = answer.kind === 'data' ? answer.bytes.length + OVERHEAD_BYTES : NAK_BYTES
      return this.#take(bytes, () => this.#endIn(answer, once, address, endpoint))
    }
    const control = this.#bufferControl
    const length = control & BUFFER.length
    const bytes = this.around.ram.slice(this.#bufferAt, this.#bufferAt + length)
    const answer = device?.out(address, endpoint, (control & BUFFER.data1) !== 0, bytes) ?? 'silence'
    this.#take(length + OVERHEAD_BYTES, () => {
      if (answer !== 'ack') return this.#fail(answer, once)
      this.#status |= STATUS.ack
      this.#finish(length)
    })
  }

  #endIn(answer: TokenAnswer, once: boolean, address: number, endpoint: number): void {
    if (answer.kind !== 'data') return this.#fail(answer.kind, once)
    const device = this.around.device()
    const control = this.#bufferControl
    // It was cut off in the midst of it.
    if (!device?.connected) return this.#fail('silence', once)
    if (answer.data1 !== ((control & BUFFER.data1) !== 0)) {
      this.#status |= STATUS.sequence
      return once ? this.#finish(BUFFER.full) : this.#idle()
    }
    const stored = answer.bytes.subarray(0, Math.min(LONGEST_PACKET, RAM_BYTES - this.#bufferAt))
    this.around.ram.set(stored, this.#bufferAt)
    if (stored.length > (control & BUFFER.length)) this.#status |= STATUS.overflow
    else device.acknowledged(address, endpoint)
    this.onData(this.around.time.nanos, endpoint)
    this.#finish(BUFFER.full | stored.length)
  }

  /** Interrupt endpoints are marked as full whatever came of it (datasheet §4.1.2.5.3). */
  #fail(how: 'nak' | 'stall' | 'silence' | 'garbled', once: boolean): void {
    if (how === 'nak') this.#status |= STATUS.nak
    else if (how === 'stall') this.#status |= STATUS.stall
    else if (how === 'silence') this.#status |= STATUS.timeout
    else this.#status |= STATUS.crc
    if (once) return this.#finish(BUFFER.full)
    if (how !== 'nak') return this.#idle()
    const delayUs = this.#speed === 1 ? this.#nakPoll & 0x3ff : this.#nakPoll >> 16
    this.#nextAlarm.schedule(delayUs * US)
  }

  #finish(status: number): void {
    const control = this.#bufferControl
    const half = (control & (BUFFER.last | BUFFER.data1)) | status
    const word = this.#upperHalf ? (half << 16) | (control & 0xffff) : (control & ~0xffff) | half
    this.#view.setUint32(USB_RAM.epxBufferControlAt, word, true)
    this.#shouldHandle = this.#upperHalf ? 1 : 0
    this.#upperHalf = !this.#upperHalf
    if (this.#view.getUint32(USB_RAM.epxControlAt, true) & ENDPOINT.signal) this.#buff |= 1
    this.#status |= STATUS.complete
    this.#idle()
  }

  get #bufferControl(): number {
    return this.#view.getUint32(USB_RAM.epxBufferControlAt, true)
  }

  get #bufferAt(): number {
    return this.#view.getUint32(USB_RAM.epxControlAt, true) & ENDPOINT.at
  }
}
