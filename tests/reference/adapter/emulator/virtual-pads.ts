import type { PadDescription, Vices } from './virtual-pad.ts'
import type { UsbSpeed } from '../../../../src/adapter/emulator/usb-bus.ts'

/** Descriptions of virtual devices for tests and for the demo. The numbers of vendor and product are made up: no device is meant. */

const LOW = (value: number): number => value & 0xff
const HIGH = (value: number): number => (value >> 8) & 0xff

/** Sixteen buttons, a hat switch and two axes of eight bits, as HID 1.11 appendix D and E write such things. */
const PAD_ITEMS = [
  ...[0x05, 0x01, 0x09, 0x05, 0xa1, 0x01],
  ...[0x05, 0x09, 0x19, 0x01, 0x29, 0x10, 0x15, 0x00, 0x25, 0x01, 0x75, 0x01, 0x95, 0x10, 0x81, 0x02],
  ...[0x05, 0x01, 0x09, 0x39, 0x15, 0x00, 0x25, 0x07, 0x75, 0x04, 0x95, 0x01, 0x81, 0x42],
  ...[0x75, 0x04, 0x95, 0x01, 0x81, 0x01],
  ...[0x09, 0x30, 0x09, 0x31, 0x15, 0x00, 0x26, 0xff, 0x00, 0x75, 0x08, 0x95, 0x02, 0x81, 0x02],
  0xc0,
]
/** Bytes of its report: buttons, hat, x, y. */
export const GAME_PAD_REPORT_BYTES = 5

/** A keyboard in the report protocol, cut down to its keys (after HID 1.11 appendix B.1). */
const KEYBOARD_ITEMS = [
  ...[0x05, 0x01, 0x09, 0x06, 0xa1, 0x01],
  ...[0x05, 0x07, 0x19, 0xe0, 0x29, 0xe7, 0x15, 0x00, 0x25, 0x01, 0x75, 0x01, 0x95, 0x08, 0x81, 0x02],
  ...[0x95, 0x01, 0x75, 0x08, 0x81, 0x01],
  ...[0x95, 0x06, 0x75, 0x08, 0x15, 0x00, 0x25, 0x65, 0x19, 0x00, 0x29, 0x65, 0x81, 0x00],
  0xc0,
]

/** One interface with an interrupt IN endpoint of the number that follows its own. */
export interface InterfaceShape {
  readonly class: readonly [number, number, number]
  readonly packetBytes: number
  readonly intervalMs: number
  /** HID only. */
  readonly reportDescriptor?: readonly number[]
  /** Where the HID descriptor lies about its length. */
  readonly toldDescriptorBytes?: number
}

export interface DeviceShape {
  readonly vendor?: number
  readonly product?: number
  readonly release?: number
  readonly class?: number
  readonly packet0?: number
  readonly speed?: UsbSpeed
  readonly interfaces: readonly InterfaceShape[]
  /** Where the configuration lies about its length. */
  readonly toldTotal?: number
  readonly vices?: Vices
}

/** Writes the descriptors of a device (USB 2.0 §9.6, HID 1.11 §6.2.1). */
export function describeDevice({
  vendor = 0x4e39,
  product = 0x0001,
  release = 0x0100,
  class: deviceClass = 0,
  packet0,
  speed = 'full',
  interfaces,
  toldTotal,
  vices = {},
}: DeviceShape): PadDescription {
  const size = packet0 ?? (speed === 'low' ? 8 : 64)
  const device = [
    18,
    1,
    0,
    2,
    deviceClass,
    0,
    0,
    size,
    LOW(vendor),
    HIGH(vendor),
    LOW(product),
    HIGH(product),
  ]
  const body = interfaces.flatMap((shape, number) => bytesOf(shape, number))
  const total = toldTotal ?? 9 + body.length
  return {
    speed,
    device: Uint8Array.of(...device, LOW(release), HIGH(release), 0, 0, 0, 1),
    configuration: Uint8Array.of(9, 2, LOW(total), HIGH(total), interfaces.length, 1, 0, 0x80, 50, ...body),
    reportDescriptors: new Map(
      interfaces.flatMap(({ reportDescriptor }, number) =>
        reportDescriptor === undefined ? [] : [[number, Uint8Array.from(reportDescriptor)] as const],
      ),
    ),
    vices,
  }
}

function bytesOf(shape: InterfaceShape, number: number): number[] {
  const { reportDescriptor, packetBytes, intervalMs, toldDescriptorBytes } = shape
  const length = toldDescriptorBytes ?? reportDescriptor?.length ?? 0
  const hid =
    reportDescriptor === undefined ? [] : [9, 0x21, 0x11, 0x01, 0, 1, 0x22, LOW(length), HIGH(length)]
  const endpoint = [7, 5, 0x80 | (number + 1), 3, LOW(packetBytes), HIGH(packetBytes), intervalMs]
  return [9, 4, number, 0, 1, ...shape.class, 0, ...hid, ...endpoint]
}

const PAD_INTERFACE: InterfaceShape = {
  class: [3, 0, 0],
  packetBytes: 64,
  intervalMs: 4,
  reportDescriptor: PAD_ITEMS,
}
const KEYBOARD_INTERFACE: InterfaceShape = {
  class: [3, 1, 1],
  packetBytes: 8,
  intervalMs: 10,
  reportDescriptor: KEYBOARD_ITEMS,
}

/** A pad with sixteen buttons, a hat switch and a stick. */
export const gamePad = (
  more: Partial<DeviceShape> = {},
  changes: Partial<InterfaceShape> = {},
): PadDescription => describeDevice({ interfaces: [{ ...PAD_INTERFACE, ...changes }], ...more })

/** The receiver of a wireless pad: a keyboard first, the pad behind it. */
export const receiver = (vices: Vices = {}): PadDescription =>
  describeDevice({ product: 2, interfaces: [KEYBOARD_INTERFACE, PAD_INTERFACE], vices })

export const keyboard = (vices: Vices = {}): PadDescription =>
  describeDevice({ product: 3, speed: 'low', interfaces: [KEYBOARD_INTERFACE], vices })

/** A hub with its status endpoint (USB 2.0 §11.23). */
export const hub = (vices: Vices = {}): PadDescription =>
  describeDevice({
    product: 4,
    class: 9,
    interfaces: [{ class: [9, 0, 0], packetBytes: 1, intervalMs: 255 }],
    vices,
  })

/** A device that is none of these: mass storage, say. */
export const somethingElse = (vices: Vices = {}): PadDescription =>
  describeDevice({ product: 5, interfaces: [{ class: [8, 6, 0x50], packetBytes: 64, intervalMs: 1 }], vices })

/** A pad of the vendor class that the firmware knows; its reports begin with 00 14 (from memory). */
export const vendorPad = (vices: Vices = {}): PadDescription =>
  describeDevice({
    product: 6,
    class: 0xff,
    interfaces: [{ class: [0xff, 0x5d, 0x01], packetBytes: 32, intervalMs: 4 }],
    vices,
  })
