import type { WebHidCollection } from '../../../src/pad/descriptor/web-hid.ts'
import type { HidApi, HidDevice, HidFilter, HidInputReport } from '../../../src/ui/pad/hid-api.ts'

/** WebHID as the specification has it (WICG WebHID): no device can be plugged in where tests run. */

type DeviceListener = (event: { readonly device: HidDevice }) => void

/** An eight-byte pad: hat, ten buttons, two axes of 8 bits; one byte counts the reports. */
export const PAD_COLLECTIONS: readonly WebHidCollection[] = [
  {
    usagePage: 0x01,
    usage: 0x05,
    type: 1,
    children: [],
    inputReports: [
      {
        reportId: 0,
        items: [
          {
            usages: [0x0001_0039],
            reportSize: 4,
            reportCount: 1,
            logicalMinimum: 0,
            logicalMaximum: 7,
            hasNull: true,
            isAbsolute: true,
          },
          { isConstant: true, usages: [], reportSize: 4, reportCount: 1 },
          {
            isRange: true,
            usageMinimum: 0x0009_0001,
            usageMaximum: 0x0009_0010,
            reportSize: 1,
            reportCount: 16,
            logicalMinimum: 0,
            logicalMaximum: 1,
            isAbsolute: true,
          },
          {
            usages: [0x0001_0030, 0x0001_0031],
            reportSize: 8,
            reportCount: 2,
            logicalMinimum: 0,
            logicalMaximum: 255,
            isAbsolute: true,
          },
        ],
      },
    ],
  },
]
const REST = [0x08, 0, 0, 128, 128] as const

export class FakeHidDevice implements HidDevice {
  readonly vendorId: number
  readonly productId: number
  readonly productName: string
  readonly collections: readonly WebHidCollection[]
  opened = false
  opens = 0
  closes = 0
  /** What `open()` throws. */
  refuses: Error | null = null
  readonly #listeners = new Set<(event: HidInputReport) => void>()

  constructor({
    vendorId = 0x1209,
    productId = 0x0001,
    productName = 'Loan pad',
    collections = PAD_COLLECTIONS,
  } = {}) {
    this.vendorId = vendorId
    this.productId = productId
    this.productName = productName
    this.collections = collections
  }

  async open(): Promise<void> {
    await Promise.resolve()
    if (this.refuses) throw this.refuses
    if (this.opened) throw new DOMException('already open', 'InvalidStateError')
    this.opened = true
    this.opens++
  }

  async close(): Promise<void> {
    await Promise.resolve()
    this.opened = false
    this.closes++
  }

  addEventListener(_: 'inputreport', listener: (event: HidInputReport) => void): void {
    this.#listeners.add(listener)
  }

  removeEventListener(_: 'inputreport', listener: (event: HidInputReport) => void): void {
    this.#listeners.delete(listener)
  }

  get listened(): boolean {
    return this.#listeners.size > 0
  }

  /** Sends a report: the pad at rest but for some bytes. */
  send(bytes: Readonly<Record<number, number>> = {}, reportId = 0): void {
    if (!this.opened) return
    // In the midst of a buffer, as browsers may hand it over.
    const buffer = new Uint8Array(3 + REST.length)
    buffer.set(REST, 3)
    for (const [k, byte] of Object.entries(bytes)) buffer[3 + Number(k)] = byte
    for (const listener of this.#listeners) listener({ reportId, data: new DataView(buffer.buffer, 3) })
  }
}

export class FakeHid implements HidApi {
  granted: HidDevice[] = []
  /** What the user chooses in the browser's list next, or what the list throws. */
  chooses: readonly HidDevice[] | Error = []
  asked: (readonly HidFilter[])[] = []
  readonly #listeners = { connect: new Set<DeviceListener>(), disconnect: new Set<DeviceListener>() }

  getDevices(): Promise<readonly HidDevice[]> {
    return Promise.resolve([...this.granted])
  }

  requestDevice({ filters }: { filters: readonly HidFilter[] }): Promise<readonly HidDevice[]> {
    this.asked.push(filters)
    if (this.chooses instanceof Error) return Promise.reject(this.chooses)
    this.granted.push(...this.chooses.filter((device) => !this.granted.includes(device)))
    return Promise.resolve(this.chooses)
  }

  addEventListener(type: 'connect' | 'disconnect', listener: DeviceListener): void {
    this.#listeners[type].add(listener)
  }

  removeEventListener(type: 'connect' | 'disconnect', listener: DeviceListener): void {
    this.#listeners[type].delete(listener)
  }

  get listened(): number {
    return this.#listeners.connect.size + this.#listeners.disconnect.size
  }

  unplug(device: FakeHidDevice): void {
    this.granted = this.granted.filter((other) => other !== device)
    device.opened = false
    for (const listener of this.#listeners.disconnect) listener({ device })
  }

  plug(device: FakeHidDevice): void {
    this.granted.push(device)
    for (const listener of this.#listeners.connect) listener({ device })
  }
}
