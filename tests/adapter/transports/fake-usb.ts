import type { UsbApi, UsbDeviceApi } from '../../../src/adapter/transports/web-usb.ts'
import { BenchLink } from '../bench-link.ts'

type Call = 'open' | 'selectConfiguration' | 'claimInterface' | 'controlTransferOut'

const endpoint = (endpointNumber: number, direction: USBDirection, type: USBEndpointType): USBEndpoint => ({
  endpointNumber,
  direction,
  type,
  packetSize: 64,
})
const interfaceOf = (
  interfaceNumber: number,
  interfaceClass: number,
  interfaceSubclass: number,
  endpoints: USBEndpoint[],
): USBInterface => {
  const alternate: USBAlternateInterface = {
    alternateSetting: 0,
    interfaceClass,
    interfaceSubclass,
    interfaceProtocol: 0,
    interfaceName: null,
    endpoints,
  }
  return { interfaceNumber, alternate, alternates: [alternate], claimed: false }
}

/** A pad interface first, then a serial port: class codes from USB HID 1.11 §4.1 and USB CDC 1.2 §4. */
const PAD_AND_SERIAL = [
  interfaceOf(0, 0x03, 0, [endpoint(1, 'in', 'interrupt')]),
  interfaceOf(1, 0x02, 0x02, [endpoint(2, 'in', 'interrupt')]),
  interfaceOf(2, 0x0a, 0, [endpoint(3, 'out', 'bulk'), endpoint(4, 'in', 'bulk')]),
]
export const PAD_ONLY = PAD_AND_SERIAL.slice(0, 1)

/**
 * Stands for the browser's WebUSB objects, with the states, DOMException names and transfer results that the WICG WebUSB
 * API gives them. Behind it is a device on a bench.
 */
export class FakeUsbDevice implements UsbDeviceApi {
  readonly bench = new BenchLink()
  readonly failing = new Map<Call, string>()
  readonly controls: { readonly setup: USBControlTransferParameters; readonly data: number[] }[] = []
  readonly claimed = new Set<number>()
  readonly halted = new Set<string>()
  readonly configurations: USBConfiguration[]
  configuration: USBConfiguration | null = null
  opened = false
  opens = 0
  gone = false
  #incoming: Uint8Array[] = []
  #waiting: {
    readonly resolve: (result: USBInTransferResult) => void
    readonly reject: (why: unknown) => void
  } | null = null

  constructor(interfaces: USBInterface[] = PAD_AND_SERIAL) {
    this.configurations = [{ configurationValue: 1, configurationName: null, interfaces }]
  }

  async open(): Promise<void> {
    this.#check('open')
    this.opened = true
    this.opens++
  }

  async close(): Promise<void> {
    if (this.gone) throw new DOMException('The device was disconnected.', 'NotFoundError')
    this.opened = false
    this.configuration = null
    this.claimed.clear()
    this.#abort(new DOMException('The transfer was cancelled.', 'AbortError'))
    this.bench.device.linkClosed()
  }

  async selectConfiguration(value: number): Promise<void> {
    this.#check('selectConfiguration')
    this.configuration =
      this.configurations.find(({ configurationValue }) => configurationValue === value) ?? null
  }

  async claimInterface(number: number): Promise<void> {
    this.#check('claimInterface')
    this.claimed.add(number)
  }

  async controlTransferOut(
    setup: USBControlTransferParameters,
    data?: BufferSource,
  ): Promise<USBOutTransferResult> {
    this.#check('controlTransferOut')
    if (!this.claimed.has(setup.index)) throw new DOMException('Not claimed.', 'InvalidStateError')
    const bytes = data instanceof Uint8Array ? [...data] : []
    this.controls.push({ setup, data: bytes })
    return { status: 'ok', bytesWritten: bytes.length }
  }

  async clearHalt(direction: USBDirection, number: number): Promise<void> {
    this.halted.delete(`${direction} ${number}`)
  }

  transferIn(number: number, length: number): Promise<USBInTransferResult> {
    if (this.gone) return Promise.reject(new DOMException('The device was disconnected.', 'NotFoundError'))
    if (number !== 4) return Promise.reject(new DOMException('No such endpoint.', 'NotFoundError'))
    if (this.halted.has('in 4')) return Promise.resolve({ status: 'stall' })
    const bytes = this.#incoming.shift()
    if (!bytes) return new Promise((resolve, reject) => (this.#waiting = { resolve, reject }))
    if (bytes.length > length) this.#incoming.unshift(bytes.subarray(length))
    const piece = bytes.slice(0, length)
    return Promise.resolve({ status: 'ok', data: new DataView(piece.buffer) })
  }

  async transferOut(number: number, data: BufferSource): Promise<USBOutTransferResult> {
    if (this.gone) throw new DOMException('The device was disconnected.', 'NotFoundError')
    if (number !== 3) throw new DOMException('No such endpoint.', 'NotFoundError')
    if (this.halted.has('out 3')) return { status: 'stall', bytesWritten: 0 }
    const bytes = data as Uint8Array
    this.arrive(this.bench.device.receive(bytes))
    return { status: 'ok', bytesWritten: bytes.length }
  }

  arrive(bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; at += 64) this.#incoming.push(bytes.slice(at, at + 64))
    const waiting = this.#waiting
    if (!waiting || this.#incoming.length === 0) return
    this.#waiting = null
    void this.transferIn(4, 64).then(waiting.resolve, waiting.reject)
  }

  unplug(): void {
    this.gone = true
    this.#abort(new DOMException('The device was disconnected.', 'NetworkError'))
  }

  plugIn(): void {
    this.gone = this.opened = false
    this.configuration = null
    this.claimed.clear()
  }

  #abort(why: DOMException): void {
    this.#waiting?.reject(why)
    this.#waiting = null
    this.#incoming = []
  }

  #check(call: Call): void {
    if (this.gone) throw new DOMException('The device was disconnected.', 'NotFoundError')
    const name = this.failing.get(call)
    this.failing.delete(call)
    if (name) throw new DOMException(`${call} failed`, name)
  }
}

export class FakeUsb implements UsbApi {
  readonly device: FakeUsbDevice
  failing: string | undefined
  filters: USBDeviceFilter[] = []
  readonly #listeners = new Set<(event: { readonly device: unknown }) => void>()

  constructor(interfaces?: USBInterface[]) {
    this.device = new FakeUsbDevice(interfaces)
  }

  requestDevice({ filters }: USBDeviceRequestOptions): Promise<UsbDeviceApi> {
    this.filters = filters
    const name = this.failing
    this.failing = undefined
    return name ? Promise.reject(new DOMException('No device selected.', name)) : Promise.resolve(this.device)
  }

  addEventListener(_: 'disconnect', listener: (event: { readonly device: unknown }) => void): void {
    this.#listeners.add(listener)
  }

  removeEventListener(_: 'disconnect', listener: (event: { readonly device: unknown }) => void): void {
    this.#listeners.delete(listener)
  }

  get listening(): number {
    return this.#listeners.size
  }

  unplug(device: unknown = this.device): void {
    if (device === this.device) this.device.unplug()
    for (const listener of [...this.#listeners]) listener({ device })
  }
}
