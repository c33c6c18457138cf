import { RegisterBlock } from './register-block.ts'
import type { Timeline } from './timeline.ts'
import { ChipTrap, hex } from './trap.ts'
import type { BusDevice } from './usb-bus.ts'
import { UsbHostMode } from './usb-host-mode.ts'
import { MAIN_CTRL, SIE_STATUS, USB, USB_BUFFER, USB_BUFFER_LENGTH, USB_INT } from './usb-registers.ts'

const SIE = {
  vbusDetected: SIE_STATUS.vbusDetected,
  suspended: SIE_STATUS.suspended,
  resume: SIE_STATUS.resume,
  connected: SIE_STATUS.connected,
  setupReceived: SIE_STATUS.setupRec,
  transactionComplete: SIE_STATUS.transComplete,
  busReset: SIE_STATUS.busReset,
  rxOverflow: SIE_STATUS.rxOverflow,
  ackReceived: SIE_STATUS.ackRec,
  dataSequence: SIE_STATUS.dataSeqError,
} as const

const INT = {
  buffStatus: USB_INT.buffStatus,
  transactionComplete: USB_INT.transComplete,
  dataSequence: USB_INT.errorDataSeq,
  rxOverflow: USB_INT.errorRxOverflow,
  vbusDetected: USB_INT.vbusDetect,
  busReset: USB_INT.busReset,
  connected: USB_INT.devConnDis,
  suspend: USB_INT.devSuspend,
  resume: USB_INT.devResumeFromHost,
  setup: USB_INT.setupReq,
  sof: USB_INT.devSof,
  abortDone: USB_INT.abortDone,
  stallNak: USB_INT.epStallNak,
} as const

/** How long what goes with AVAILABLE must have stood before it: a cycle of clk_usb is 2.6 of clk_sys (datasheet §4.1.2.5.1). */
const SETTLE_CYCLES = 3

/** Registers that mean something else to a host; the others serve both. */
const LAST_OF_TRANSACTIONS = 0x6c

export interface UsbSurroundings {
  readonly ram: Uint8Array
  /** The world's time, in which devices live. */
  readonly time: Timeline
  cycle(): number
  interrupt(wanted: boolean): void
  /** Something that the bus can notice has changed. */
  changed(): void
  requireClock(): void
  /** The device at the other end of the cable, for a host. */
  device(): BusDevice | null
}

export type InAnswer =
  | { readonly kind: 'nak' | 'stall' | 'silence' }
  | { readonly kind: 'data'; readonly data1: boolean; readonly bytes: Uint8Array }
export type OutAnswer = 'ack' | 'nak' | 'stall' | 'silence'

/**
 * The USB controller (RP2040 datasheet §4.1). As a device nothing is done until a host asks for it, one packet at a time,
 * with handshakes. Single buffers only. What it does as a host is in usb-host-mode.ts.
 */
export class UsbController extends RegisterBlock {
  readonly asHost: UsbHostMode
  readonly #view: DataView
  #address = 0
  #main = 0
  #sie = 0
  #status = 0
  #frame = 0
  #buff = 0
  #abort = 0
  #abortDone = 0
  #stallArm = 0
  #stallNak = 0
  #muxing = 0
  #power = 0
  #inte = 0
  #intf = 0
  /** Interrupts that stay until the status bit behind them is written. */
  #latched = 0
  /** When the bits beside AVAILABLE were written last, a word of buffer control each. */
  readonly #written = new Map<number, number>()

  constructor(private readonly around: UsbSurroundings) {
    super()
    this.#view = new DataView(around.ram.buffer, around.ram.byteOffset)
    this.asHost = new UsbHostMode({
      ram: around.ram,
      time: around.time,
      cycle: () => around.cycle(),
      changed: () => this.#interrupts(),
      device: () => around.device(),
    })
  }

  reset(): void {
    this.asHost.reset()
    this.#address = this.#main = this.#sie = this.#status = this.#frame = this.#buff = 0
    this.#abort = this.#abortDone = this.#stallArm = this.#stallNak = 0
    this.#muxing = this.#power = this.#inte = this.#intf = this.#latched = 0
    this.#interrupts()
    this.around.changed()
  }

  // What the bus sees.

  /** Whether D+ is pulled up, so that a host notices a device. */
  get connected(): boolean {
    const running =
      this.#main === MAIN_CTRL.controllerEn && (this.#muxing & 1) === 1 && (this.#muxing & 8) !== 0
    return running && (this.#status & SIE.vbusDetected) !== 0 && (this.#sie & (1 << 16)) !== 0
  }

  get address(): number {
    return this.#address & 0x7f
  }

  /** Whether the device asks the host to wake up. */
  get wantsResume(): boolean {
    return (this.#sie & (1 << 12)) !== 0
  }

  busReset(): void {
    this.#raise(SIE.busReset | SIE.connected, INT.busReset | INT.connected)
  }

  startOfFrame(frame: number): void {
    this.#frame = frame & 0x7ff
    this.#latched |= INT.sof
    this.#interrupts()
  }

  suspend(): void {
    this.#raise(SIE.suspended, INT.suspend)
  }

  resume(): void {
    this.#status &= ~SIE.suspended
    this.#raise(SIE.resume, INT.resume)
  }

  /** A SETUP is taken at any time and ends whatever stall there was (datasheet §4.1.2.6.1). */
  setup(packet: Uint8Array): void {
    this.around.ram.set(packet.subarray(0, 8), 0)
    this.#stallArm = 0
    this.#raise(SIE.setupReceived, INT.setup)
  }

  /** An IN token: what the device answers. Nothing changes before {@link inTaken}. */
  in(endpoint: number): InAnswer {
    if (endpoint > 0 && !this.#enabled(endpoint, false)) return { kind: 'silence' }
    const control = this.#control(endpoint, false)
    if (control & USB_BUFFER.stall && (endpoint > 0 || this.#stallArm & 1)) return { kind: 'stall' }
    if (!(control & USB_BUFFER.available) || !(control & USB_BUFFER.full) || this.#aborted(endpoint, false)) {
      return { kind: 'nak' }
    }
    const at = this.#bufferAt(endpoint, false)
    const length = control & USB_BUFFER_LENGTH
    if (length > 64) throw new ChipTrap(`a packet of ${length} bytes on endpoint ${endpoint} IN`)
    return {
      kind: 'data',
      data1: (control & USB_BUFFER.data1) !== 0,
      bytes: this.around.ram.slice(at, at + length),
    }
  }

  /** The host has acknowledged what {@link in} gave. */
  inTaken(endpoint: number): void {
    this.#finish(endpoint, false, this.#control(endpoint, false) & ~(USB_BUFFER.full | USB_BUFFER.available))
    this.#status |= SIE.ackReceived
  }

  /** An OUT token with its data. */
  out(endpoint: number, data1: boolean, bytes: Uint8Array): OutAnswer {
    if (endpoint > 0 && !this.#enabled(endpoint, true)) return 'silence'
    const control = this.#control(endpoint, true)
    if (control & USB_BUFFER.stall && (endpoint > 0 || this.#stallArm & 2)) return 'stall'
    if (!(control & USB_BUFFER.available) || control & USB_BUFFER.full || this.#aborted(endpoint, true))
      return 'nak'
    if (data1 !== ((control & USB_BUFFER.data1) !== 0)) {
      // Taken for a packet sent twice: acknowledged and dropped.
      this.#raise(SIE.dataSequence, INT.dataSequence)
      return 'ack'
    }
    if (bytes.length > (control & USB_BUFFER_LENGTH)) {
      this.#raise(SIE.rxOverflow, INT.rxOverflow)
      return 'silence'
    }
    this.around.ram.set(bytes, this.#bufferAt(endpoint, true))
    const next = (control & ~(USB_BUFFER.available | USB_BUFFER_LENGTH)) | USB_BUFFER.full | bytes.length
    this.#finish(endpoint, true, next)
    return 'ack'
  }

  // What the processor sees.

  /** A word of the packet memory was written. */
  ramWritten(offset: number, before: number, after: number): void {
    if (offset < 0x80 || offset >= 0x100) return
    // As a host the controller itself writes to the upper half; nobody else may.
    if (after & 0xffff0000) throw new ChipTrap('double buffering is not modelled')
    const cycle = this.around.cycle()
    const fresh = (after & ~before & USB_BUFFER.available) !== 0
    const others = ((after ^ before) & ~USB_BUFFER.available) !== 0
    if (fresh && (others || cycle - (this.#written.get(offset) ?? -Infinity) < SETTLE_CYCLES)) {
      throw new ChipTrap(
        `AVAILABLE set in buffer control ${hex(offset)} before the rest of it has stood for ${SETTLE_CYCLES} cycles`,
      )
    }
    if (others) this.#written.set(offset, cycle)
    if (after & (USB_BUFFER.available | USB_BUFFER.stall)) this.around.changed()
  }

  get #isHost(): boolean {
    return (this.#main & MAIN_CTRL.host) !== 0
  }

  #isOfHost(offset: number): boolean {
    return this.#isHost && offset <= LAST_OF_TRANSACTIONS && offset !== USB.mainCtrl
  }

  override peek(offset: number): number {
    if (this.#isOfHost(offset)) return this.asHost.peek(offset)
    return offset === USB.sofRd ? this.#frame : this.read(offset)
  }

  read(offset: number): number {
    if (this.#isOfHost(offset)) return this.asHost.read(offset)
    switch (offset) {
      case USB.addrEndp:
        return this.#address
      case USB.mainCtrl:
        return this.#main
      case USB.sofRd:
        this.#latched &= ~INT.sof
        this.#interrupts()
        return this.#frame
      case USB.sieCtrl:
        return this.#sie
      case USB.sieStatus:
        return this.#status
      case USB.buffStatus:
        return this.#buff
      case USB.epAbort:
        return this.#abort
      case USB.epAbortDone:
        return this.#abortDone
      case USB.epStallArm:
        return this.#stallArm
      case USB.epStatusStallNak:
        return this.#stallNak
      case USB.muxing:
        return this.#muxing
      case USB.pwr:
        return this.#power
      case USB.intr:
        return this.#raw
      case USB.inte:
        return this.#inte
      case USB.intf:
        return this.#intf
      case USB.ints:
        return (this.#raw & this.#inte) | this.#intf
      default:
        throw new ChipTrap(`USB register ${hex(offset)} is not modelled`)
    }
  }

  write(offset: number, value: number, raw: number): void {
    if (this.#isOfHost(offset)) return this.asHost.write(offset, value, raw)
    switch (offset) {
      case USB.addrEndp:
        this.#address = value & 0x000f007f
        break
      case USB.mainCtrl:
        this.#takeRole(value & (MAIN_CTRL.controllerEn | MAIN_CTRL.host))
        break
      case USB.sieCtrl:
        this.#sie = value & ~(1 << 12)
        if (value & (1 << 12)) this.#sie |= 1 << 12
        break
      case USB.sieStatus:
        this.#clearStatus(raw)
        break
      case USB.buffStatus:
        this.#buff &= ~raw
        break
      case USB.epAbort:
        this.#abort = value
        this.#abortDone |= value
        break
      case USB.epAbortDone:
        this.#abortDone &= ~raw
        break
      case USB.epStallArm:
        this.#stallArm = value & 3
        break
      case USB.epStatusStallNak:
        this.#stallNak &= ~raw
        break
      case USB.muxing:
        this.#muxing = value & 0xf
        break
      case USB.pwr:
        this.#power = value & 0x3f
        this.#vbus()
        break
      case USB.inte:
        this.#inte = value & 0xfffff
        break
      case USB.intf:
        this.#intf = value & 0xfffff
        break
      default:
        throw new ChipTrap(`USB register ${hex(offset)} is not modelled`)
    }
    this.#interrupts()
    this.around.changed()
  }

  /** A host begins fresh from reset: what a device has left in the registers means something else to it. */
  #takeRole(main: number): void {
    if (main & MAIN_CTRL.controllerEn) this.around.requireClock()
    if ((main ^ this.#main) & MAIN_CTRL.host) {
      if (this.#main !== 0 || this.#sie !== 0 || this.#buff !== 0 || this.#status & ~SIE.vbusDetected)
        throw new ChipTrap('the role of the controller changes without a reset of it')
      if (!(main & MAIN_CTRL.controllerEn)) throw new ChipTrap('a host that is not switched on')
      if ((this.#muxing & 9) !== 9) throw new ChipTrap('a host that is not connected to the PHY')
    }
    const begins = (main & MAIN_CTRL.host) !== 0 && !this.#isHost
    this.#main = main
    if (begins) this.asHost.start()
  }

  /** VBUS is seen only through the override, as no pin is given to it here. */
  #vbus(): void {
    const seen = (this.#power & 0xc) === 0xc
    const was = (this.#status & SIE.vbusDetected) !== 0
    if (seen === was) return
    this.#status ^= SIE.vbusDetected
    this.#latched |= INT.vbusDetected
  }

  #clearStatus(raw: number): void {
    const clearable =
      SIE.busReset |
      SIE.setupReceived |
      SIE.transactionComplete |
      SIE.ackReceived |
      SIE.dataSequence |
      SIE.rxOverflow
    this.#status &= ~(raw & (clearable | SIE.resume))
    if (raw & SIE.suspended) this.#latched &= ~INT.suspend
    if (raw & SIE.connected) this.#latched &= ~INT.connected
    if (raw & SIE.vbusDetected) this.#latched &= ~INT.vbusDetected
  }

  #raise(status: number, latched: number): void {
    this.#status |= status
    this.#latched |= latched & (INT.suspend | INT.connected | INT.vbusDetected | INT.sof)
    this.#interrupts()
  }

  get #raw(): number {
    if (this.#isHost) return this.asHost.interrupts
    const status = this.#status
    return (
      this.#latched |
      (this.#buff !== 0 ? INT.buffStatus : 0) |
      (status & SIE.transactionComplete ? INT.transactionComplete : 0) |
      (status & SIE.dataSequence ? INT.dataSequence : 0) |
      (status & SIE.rxOverflow ? INT.rxOverflow : 0) |
      (status & SIE.busReset ? INT.busReset : 0) |
      (status & SIE.setupReceived ? INT.setup : 0) |
      (status & SIE.resume ? INT.resume : 0) |
      (this.#abortDone !== 0 ? INT.abortDone : 0)
    )
  }

  #interrupts(): void {
    this.around.interrupt(((this.#raw & this.#inte) | this.#intf) !== 0)
  }

  #finish(endpoint: number, isOut: boolean, control: number): void {
    const last = (control & USB_BUFFER.last) !== 0
    this.#view.setUint32(controlAt(endpoint, isOut), control, true)
    const signals =
      endpoint === 0 ? (this.#sie >> 29) & 1 : (this.#endpointControl(endpoint, isOut) >> 29) & 1
    if (signals) this.#buff |= 1 << (endpoint * 2 + (isOut ? 1 : 0))
    if (last) this.#status |= SIE.transactionComplete
    this.#interrupts()
  }

  #control(endpoint: number, isOut: boolean): number {
    return this.#view.getUint32(controlAt(endpoint, isOut), true)
  }

  #endpointControl(endpoint: number, isOut: boolean): number {
    return this.#view.getUint32(endpoint * 8 + (isOut ? 4 : 0), true)
  }

  #enabled(endpoint: number, isOut: boolean): boolean {
    const control = this.#endpointControl(endpoint, isOut)
    if (control & (1 << 30)) throw new ChipTrap('double buffering is not modelled')
    if (control & 0x30000) throw new ChipTrap('interrupts on STALL and NAK are not modelled')
    return (control & (1 << 31)) !== 0
  }

  #aborted(endpoint: number, isOut: boolean): boolean {
    return ((this.#abort >> (endpoint * 2 + (isOut ? 1 : 0))) & 1) === 1
  }

  #bufferAt(endpoint: number, isOut: boolean): number {
    if (endpoint === 0) return 0x100
    const at = this.#endpointControl(endpoint, isOut) & 0xffc0
    if (at < 0x180 || at > 0x1000 - 64)
      throw new ChipTrap(`the buffer of endpoint ${endpoint} lies at ${hex(at)}`)
    return at
  }
}

const controlAt = (endpoint: number, isOut: boolean): number => 0x80 + endpoint * 8 + (isOut ? 4 : 0)
