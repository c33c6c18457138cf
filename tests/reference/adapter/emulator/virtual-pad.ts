import type { Alarm, Timeline } from '../../../../src/adapter/emulator/timeline.ts'
import type { PluggableDevice, TokenAnswer, UsbSpeed } from '../../../../src/adapter/emulator/usb-bus.ts'

const MS = 1_000_000
/** Attach to the first reset (USB 2.0 §7.1.7.3), a reset from a root port and the rest after it (§7.1.7.5, table 7-14). */
const DEBOUNCE_NS = 100 * MS
const RESET_NS = 50 * MS
const RESET_RECOVERY_NS = 10 * MS
/** A reset may be in pieces with gaps shorter than this (TRHRSI). */
const RESET_GAP_NS = 3 * MS
/** A new address counts after so long (§9.2.6.3); without frames for so long a device sleeps (§7.1.7.6). */
const ADDRESS_NS = 2 * MS
const SUSPEND_NS = 3 * MS

const PACKET = { full: 64, low: 8 } as const
const IN_REQUEST = 0x80
const DESCRIPTOR = { device: 1, configuration: 2, string: 3, endpoint: 5, report: 0x22 } as const
const REQUEST = {
  clearFeature: 1,
  setAddress: 5,
  getDescriptor: 6,
  setConfiguration: 9,
  setIdle: 10,
  setProtocol: 11,
} as const

/** What is wrong with a pad. All of it is fixed by these numbers: the same vices do the same again. */
export interface Vices {
  /** From power to the pull-up; 20 ms. */
  readonly attachMs?: number
  /** Every stage of a control transfer is answered with NAK for so long first. */
  readonly slowMs?: number
  /** Requests (bRequest) that it answers with STALL. */
  readonly stalls?: readonly number[]
  /** Answers nothing, ever. */
  readonly silent?: boolean
  /** Answers nothing before it has been reset so often. */
  readonly resetsNeeded?: number
  /** Out of so many packets one has a wrong CRC; 0 for none. */
  readonly garblesOneIn?: number
  /** Out of so many acknowledgements it misses one; 0 for none. */
  readonly missesAckOneIn?: number
  /** Every packet with data is so many bytes longer than it may be. */
  readonly babbles?: number
  /** The first packet of an interrupt endpoint has the wrong toggle. */
  readonly beginsWithData1?: boolean
  /** Its interrupt endpoints stall after so many reports, until that is cleared. */
  readonly haltsAfter?: number
  /** Leaves the bus by itself so long after it got power, and comes back so much later. */
  readonly leavesAfterMs?: number
  readonly backAfterMs?: number
  /** Draws more than the switch gives. */
  readonly overloads?: boolean
  /** For what happens one time in so many. */
  readonly seed?: number
}

export interface PadDescription {
  readonly speed?: UsbSpeed
  readonly device: Uint8Array
  readonly configuration: Uint8Array
  /** Report descriptors, by the number of their interface. */
  readonly reportDescriptors?: ReadonlyMap<number, Uint8Array>
  readonly vices?: Vices
}

interface Pipe {
  readonly packetBytes: number
  readonly intervalMs: number
  readonly packets: Uint8Array[]
  data1: boolean
  halted: boolean
  sent: number
}

type Stage =
  | { readonly kind: 'none' | 'stall' }
  | { readonly kind: 'give'; readonly bytes: Uint8Array; at: number; data1: boolean }
  | { readonly kind: 'take'; left: number; data1: boolean }
  | { readonly kind: 'done' }

/** A USB device with descriptors, report stream and vices. It complains about a host that breaks the standard's times. */
export class VirtualPad implements PluggableDevice {
  readonly speed: UsbSpeed
  /** What the host did that no host may, with the section of USB 2.0 that says so. */
  readonly complaints: string[] = []
  /** Setup packets that came, in order. */
  readonly requests: Uint8Array[] = []
  /** When the interrupt endpoints were asked. */
  readonly polledNs: number[] = []
  configured = false
  onLine: () => void = () => {}

  readonly #description: PadDescription
  readonly #vices: Vices
  readonly #pipes = new Map<number, Pipe>()
  #time: Timeline | null = null
  #silent = false
  #powered = false
  #pulledUp = false
  #upNs = 0
  #address = 0
  #nextAddress: number | null = null
  #addressNs = -Infinity
  #resets = 0
  #resetSinceNs: number | null = null
  #resetNs = 0
  #resetEndNs = -Infinity
  #frameNs = 0
  #stage: Stage = { kind: 'none' }
  #stageNs = 0
  #chance: number
  #alarms: Alarm[] = []

  constructor(description: PadDescription) {
    this.#description = description
    this.#vices = description.vices ?? {}
    this.speed = description.speed ?? 'full'
    this.#chance = (this.#vices.seed ?? 1) | 1
  }

  // The user's side.

  plug(time: Timeline): void {
    this.#time = time
  }

  unplug(): void {
    this.setPower(false)
    this.#time = null
  }

  get overloads(): boolean {
    return this.#vices.overloads ?? false
  }

  setPower(on: boolean): void {
    if (on === this.#powered) return
    this.#powered = on
    for (const alarm of this.#alarms) alarm.cancel()
    this.#alarms = []
    this.#forget()
    this.#resets = 0
    if (!on) return this.#pull(false)
    const { attachMs = 20, leavesAfterMs, backAfterMs } = this.#vices
    this.#after(attachMs, () => this.#pull(true))
    if (leavesAfterMs === undefined) return
    this.#after(leavesAfterMs, () => this.#pull(false))
    if (backAfterMs !== undefined) this.#after(leavesAfterMs + backAfterMs, () => this.#pull(true))
  }

  /** Sends a report over an interrupt endpoint, in as many packets as it takes. */
  report(bytes: Uint8Array, endpoint = this.#firstEndpoint()): void {
    const pipe = this.#pipes.get(endpoint)
    if (pipe === undefined) return
    const { packetBytes } = pipe
    for (let at = 0; at < Math.max(1, bytes.length); at += packetBytes)
      pipe.packets.push(bytes.slice(at, at + packetBytes))
  }

  /** From now on it answers nothing, and stays on the bus. */
  fallSilent(): void {
    this.#silent = true
  }

  /** Reports that wait to be fetched. */
  get waiting(): number {
    return [...this.#pipes.values()].reduce((sum, { packets }) => sum + packets.length, 0)
  }

  // The bus's side.

  get connected(): boolean {
    return this.#powered && this.#pulledUp
  }

  reset(driven: boolean): void {
    const now = this.#now
    if (driven) {
      if (now - this.#upNs < DEBOUNCE_NS) this.#complain('reset before the debounce is over (§7.1.7.3)')
      this.#resetSinceNs = now
      // Pieces of one reset.
      if (now - this.#resetEndNs > RESET_GAP_NS) {
        this.#resetNs = 0
        this.#resets += 1
      }
      this.#forget()
    } else if (this.#resetSinceNs !== null) {
      this.#resetNs += now - this.#resetSinceNs
      this.#resetSinceNs = null
      this.#resetEndNs = now
      this.#frameNs = now
    }
  }

  frame(): void {
    this.#frameNs = this.#now
  }

  setup(address: number, packet: Uint8Array): 'ack' | 'silence' {
    if (!this.#hears(address)) return 'silence'
    this.requests.push(packet)
    this.#stage = this.#answer(packet)
    this.#stageNs = this.#now
    return 'ack'
  }

  in(address: number, endpoint: number): TokenAnswer {
    if (!this.#hears(address)) return { kind: 'silence' }
    const answer = endpoint === 0 ? this.#giveControl() : this.#giveReport(endpoint)
    if (answer.kind !== 'data') return answer
    if (this.#oneIn(this.#vices.garblesOneIn)) return { kind: 'garbled' }
    const { babbles = 0 } = this.#vices
    if (babbles === 0 || answer.bytes.length === 0) return answer
    const longer = new Uint8Array(PACKET[this.speed] + babbles).fill(0x55)
    longer.set(answer.bytes)
    return { ...answer, bytes: longer }
  }

  acknowledged(address: number, endpoint: number): void {
    if (this.#oneIn(this.#vices.missesAckOneIn)) return
    if (endpoint !== 0) {
      const pipe = this.#pipes.get(endpoint)
      if (pipe === undefined) return
      pipe.packets.shift()
      pipe.data1 = !pipe.data1
      pipe.sent += 1
      if (pipe.sent === this.#vices.haltsAfter) pipe.halted = true
      return
    }
    const stage = this.#stage
    if (stage.kind === 'give') {
      stage.at += PACKET0(this.#description)
      stage.data1 = !stage.data1
      this.#stageNs = this.#now
    } else if (stage.kind === 'done') this.#complete()
  }

  out(
    address: number,
    endpoint: number,
    data1: boolean,
    bytes: Uint8Array,
  ): 'ack' | 'nak' | 'stall' | 'silence' {
    if (!this.#hears(address) || endpoint !== 0) return 'silence'
    const stage = this.#stage
    if (stage.kind === 'stall') return 'stall'
    if (this.#isSlow()) return 'nak'
    if (stage.kind === 'take') {
      stage.left -= bytes.length
      if (stage.left <= 0) this.#stage = { kind: 'done' }
      return 'ack'
    }
    if (bytes.length > 0) this.#complain('data that was not announced (§8.5.3)')
    if (!data1) this.#complain('a status stage with DATA0 (§8.5.3)')
    this.#stage = { kind: 'none' }
    return 'ack'
  }

  // Inside.

  get #now(): number {
    return this.#time?.nanos ?? 0
  }

  #after(ms: number, run: () => void): void {
    const alarm = this.#time?.createAlarm(run)
    if (alarm === undefined) return
    alarm.schedule(ms * MS)
    this.#alarms.push(alarm)
  }

  #pull(up: boolean): void {
    if (up === this.#pulledUp) return
    this.#pulledUp = up
    if (up) this.#upNs = this.#now
    this.#forget()
    this.#resets = 0
    this.onLine()
  }

  /** As out of a reset: no address, no configuration. */
  #forget(): void {
    this.#address = 0
    this.#nextAddress = null
    this.#addressNs = -Infinity
    this.configured = false
    this.#pipes.clear()
    this.#stage = { kind: 'none' }
  }

  #complain(what: string): void {
    if (!this.complaints.includes(what)) this.complaints.push(what)
  }

  #oneIn(many = 0): boolean {
    if (many === 0) return false
    // Xorshift: nothing depends on how good it is.
    let x = this.#chance
    x ^= x << 13
    x ^= x >>> 17
    x ^= x << 5
    this.#chance = x
    return (x >>> 0) % many === 0
  }

  /** Whether a token for an address is for this device, and whether the host was allowed to send it. */
  #hears(address: number): boolean {
    const now = this.#now
    if (this.#resetSinceNs !== null) return false
    if (this.#resets === 0) {
      this.#complain('a token before the first reset (§9.1.2)')
      return false
    }
    if (this.#resetNs < RESET_NS) this.#complain('a reset shorter than 50 ms (§7.1.7.5)')
    if (now - this.#resetEndNs < RESET_RECOVERY_NS)
      this.#complain('a token within 10 ms of a reset (§7.1.7.5)')
    if (now - this.#frameNs > SUSPEND_NS) this.#complain('no frame for 3 ms (§7.1.7.6)')
    const { silent = false, resetsNeeded = 0 } = this.#vices
    if (silent || this.#silent || this.#resets < resetsNeeded || address !== this.#address) return false
    if (address !== 0 && now - this.#addressNs < ADDRESS_NS)
      this.#complain('a token within 2 ms of a new address (§9.2.6.3)')
    return true
  }

  #isSlow(): boolean {
    return this.#now - this.#stageNs < (this.#vices.slowMs ?? 0) * MS
  }

  #answer(packet: Uint8Array): Stage {
    const [type = 0, request = 0, low = 0, high = 0, index = 0, , lengthLow = 0, lengthHigh = 0] = packet
    const length = lengthLow | (lengthHigh << 8)
    if (this.#vices.stalls?.includes(request)) return { kind: 'stall' }
    if (type & IN_REQUEST) {
      const bytes = request === REQUEST.getDescriptor ? this.#descriptor(high, index) : undefined
      if (bytes === undefined) return { kind: 'stall' }
      return { kind: 'give', bytes: bytes.subarray(0, length), at: 0, data1: true }
    }
    if (request === REQUEST.setAddress) this.#nextAddress = low
    else if (request === REQUEST.setConfiguration) this.#configure(low)
    else if (request === REQUEST.clearFeature) this.#clearHalt(index)
    else if (request !== REQUEST.setIdle && request !== REQUEST.setProtocol) return { kind: 'stall' }
    return length > 0 ? { kind: 'take', left: length, data1: true } : { kind: 'done' }
  }

  #descriptor(kind: number, index: number): Uint8Array | undefined {
    const { device, configuration, reportDescriptors } = this.#description
    if (kind === DESCRIPTOR.device) return device
    if (kind === DESCRIPTOR.configuration) return configuration
    if (kind === DESCRIPTOR.report && this.configured) return reportDescriptors?.get(index)
    return undefined
  }

  #configure(value: number): void {
    this.configured = value !== 0
    this.#pipes.clear()
    const { configuration } = this.#description
    let at = 0
    while (at + 2 <= configuration.length) {
      const [length = 0, kind = 0, address = 0, attributes = 0, packetBytes = 0, , intervalMs = 0] =
        configuration.subarray(at)
      if (length < 2) break
      if (kind === DESCRIPTOR.endpoint && address & 0x80 && (attributes & 3) === 3) {
        const data1 = this.#vices.beginsWithData1 ?? false
        this.#pipes.set(address & 15, {
          packetBytes: Math.min(PACKET[this.speed], Math.max(1, packetBytes)),
          intervalMs,
          packets: [],
          data1,
          halted: false,
          sent: 0,
        })
      }
      at += length
    }
  }

  #clearHalt(address: number): void {
    const pipe = this.#pipes.get(address & 15)
    if (pipe === undefined) return
    pipe.halted = false
    pipe.data1 = false
  }

  #firstEndpoint(): number {
    return this.#pipes.keys().next().value ?? 0
  }

  #giveControl(): TokenAnswer {
    const stage = this.#stage
    if (stage.kind === 'stall') return { kind: 'stall' }
    if (this.#isSlow()) return { kind: 'nak' }
    if (stage.kind === 'done') return { kind: 'data', data1: true, bytes: new Uint8Array() }
    if (stage.kind !== 'give') {
      this.#complain('an IN token that no setup packet announced (§8.5.3)')
      return { kind: 'stall' }
    }
    const bytes = stage.bytes.slice(stage.at, stage.at + PACKET0(this.#description))
    return { kind: 'data', data1: stage.data1, bytes }
  }

  #giveReport(endpoint: number): TokenAnswer {
    const pipe = this.#pipes.get(endpoint)
    if (pipe === undefined) return { kind: 'silence' }
    this.polledNs.push(this.#now)
    if (pipe.halted) return { kind: 'stall' }
    const [bytes] = pipe.packets
    return bytes === undefined ? { kind: 'nak' } : { kind: 'data', data1: pipe.data1, bytes }
  }

  #complete(): void {
    this.#stage = { kind: 'none' }
    if (this.#nextAddress === null) return
    this.#address = this.#nextAddress
    this.#nextAddress = null
    this.#addressNs = this.#now
  }
}

/** The packet size of endpoint 0: what the device says of itself, in bounds. */
const PACKET0 = ({ device, speed = 'full' }: PadDescription): number =>
  Math.min(PACKET[speed], Math.max(8, device[7] ?? 8))
