import type { WebHidCollection } from '../../pad/descriptor/web-hid.ts'

/** What is used of the WebHID API (WICG WebHID): devices that the user has let this page see. */

export interface HidInputReport {
  /** 0 where the pad's reports have no numbers. */
  readonly reportId: number
  /** Without the number. */
  readonly data: DataView
}

export const reportData = ({ data }: HidInputReport): Uint8Array =>
  new Uint8Array(data.buffer, data.byteOffset, data.byteLength)

type ReportListener = (event: HidInputReport) => void

export interface HidDevice {
  readonly vendorId: number
  readonly productId: number
  readonly productName: string
  readonly opened: boolean
  readonly collections: readonly WebHidCollection[]
  open(): Promise<void>
  close(): Promise<void>
  addEventListener(type: 'inputreport', listener: ReportListener): void
  removeEventListener(type: 'inputreport', listener: ReportListener): void
}

type DeviceListener = (event: { readonly device: HidDevice }) => void

/** What the browser's list is to show. */
export type HidFilter =
  | { readonly usagePage: number; readonly usage: number }
  | { readonly vendorId: number; readonly productId: number }

export interface HidApi {
  /** Those that were chosen before and are there. */
  getDevices(): Promise<readonly HidDevice[]>
  /** The browser's own list; nothing where it was closed without a choice. */
  requestDevice(options: { filters: readonly HidFilter[] }): Promise<readonly HidDevice[]>
  addEventListener(type: 'connect' | 'disconnect', listener: DeviceListener): void
  removeEventListener(type: 'connect' | 'disconnect', listener: DeviceListener): void
}

const isHidApi = (thing: unknown): thing is HidApi =>
  typeof thing === 'object' && thing !== null && 'getDevices' in thing && 'requestDevice' in thing

/** The browser's WebHID, where it has it. */
export const hidOf = (navigator: object): HidApi | null =>
  'hid' in navigator && isHidApi(navigator.hid) ? navigator.hid : null

/** Joystick, gamepad, multi-axis controller (HID Usage Tables, Generic Desktop page 0x01). */
export const PAD_FILTERS: readonly HidFilter[] = [0x05, 0x04, 0x08].map((usage) => ({
  usagePage: 0x01,
  usage,
}))

const saysPad = ({ collections }: HidDevice): boolean =>
  collections.some(({ usagePage, usage }) =>
    PAD_FILTERS.some((pad) => 'usage' in pad && pad.usagePage === usagePage && pad.usage === usage),
  )

/** Of the interfaces of one device, those that say they are a pad; all where none says so. */
export function padInterfaces(devices: readonly HidDevice[]): readonly HidDevice[] {
  const pads = devices.filter(saysPad)
  return pads.length > 0 ? pads : devices
}

/** How many use a device that is open. The same object serves all of the page, and the last one closes it. */
const users = new WeakMap<HidDevice, number>()

/** Opens a device, unless it is open already. Every opening is ended by one {@link leaveHid}. Throws what `open()` throws. */
export async function useHid(device: HidDevice): Promise<void> {
  users.set(device, (users.get(device) ?? 0) + 1)
  try {
    if (!device.opened) await device.open()
  } catch (error) {
    // Two that open it at once: the second is refused although the device is open, or about to be.
    if (device.opened) return
    users.set(device, (users.get(device) ?? 1) - 1)
    throw error
  }
}

/** Closes a device when nobody uses it any more. */
export async function leaveHid(device: HidDevice): Promise<void> {
  const left = (users.get(device) ?? 1) - 1
  users.set(device, left)
  // One that is gone cannot be closed, and need not be.
  if (left <= 0) await device.close().catch(() => undefined)
}
