/* eslint-disable texts/in-script -- what stands in a document is not translated */
import { CONTROLS } from '../controls.ts'
import type { Control } from '../controls.ts'
import { AXIS_FULL } from '../extract.ts'
import { BUTTON_FULL, axisBit, buttonBit } from '../gamepad-report.ts'
import { LAYOUT_FORMAT, LAYOUT_VERSION } from './schema.ts'
import type { Extractor, Field, Layout } from './schema.ts'

/** Layouts that need no learning. */

/** A trigger counts as pressed from half of its way on, and as let go at four tenths, so that it does not chatter in between. */
const pressOf = (full: number): number => Math.ceil(full * 0.5)
const releaseOf = (full: number): number => Math.floor(full * 0.4)

const fieldOf = (bit: number, bits: number, signed = false): Field => ({ report: 0, bit, bits, signed })

const analogue = (control: Control, field: Field, full: number): Extractor => ({
  kind: 'threshold',
  control,
  field,
  press: pressOf(full),
  release: releaseOf(full),
})
const digital = (control: Control, bit: number): Extractor => ({
  kind: 'threshold',
  control,
  field: fieldOf(bit, 1),
  press: 1,
  release: 0,
})

type Slot = readonly [stick: 'left' | 'right', axis: 'x' | 'y']

/** The axes of a pad, in the order that the Gamepad API and the vendor-class report share. */
const SLOTS: readonly Slot[] = [
  ['left', 'x'],
  ['left', 'y'],
  ['right', 'x'],
  ['right', 'y'],
]
const axisOf = ([stick, axis]: Slot, bit: number, low: number): Extractor => ({
  kind: 'axis',
  stick,
  axis,
  field: fieldOf(bit, 16, true),
  low,
  centre: 0,
  high: -low,
})

/** By its place in a gamepad: the seventeen of the standard layout, then the extras. */
const GAMEPAD_ORDER: readonly Control[] = [
  ...CONTROLS.slice(0, 17),
  ...CONTROLS.filter((control) => control.startsWith('extra-')),
]

const gamepadLayout = (name: string, notes: string, buttons: number, axes: number): Layout => ({
  format: LAYOUT_FORMAT,
  version: LAYOUT_VERSION,
  name,
  notes,
  pad: { via: 'gamepad', vendorId: 0, productId: 0, descriptorCrc32: null },
  extractors: [
    ...GAMEPAD_ORDER.slice(0, buttons).map((control, k) =>
      analogue(control, fieldOf(buttonBit(k), 8), BUTTON_FULL),
    ),
    ...SLOTS.slice(0, axes).map((slot, k) => axisOf(slot, axisBit(k), -AXIS_FULL)),
  ],
})

/**
 * Every pad that a browser knows. Indices from W3C Gamepad, section "Remapping" (standard gamepad layout): buttons 0 to 16, axes 0
 * to 3, −1 left or up. Buttons beyond are the extras, which the standard does not name.
 */
export const STANDARD_LAYOUT: Layout = gamepadLayout(
  'Pad that browsers know',
  'The standard layout of the Gamepad API.',
  GAMEPAD_ORDER.length,
  SLOTS.length,
)

/** A pad that a browser shows but does not know: buttons and axes in the order in which they come. At least one button. */
export const plainGamepadLayout = (buttons: number, axes: number): Layout =>
  gamepadLayout(
    'Pad in its own order',
    'The browser does not know this pad: a button may stand for another place than it has.',
    Math.max(1, buttons),
    axes,
  )

/** Bit by bit from the third byte on; `null` is unused. */
const VENDOR_BUTTONS: readonly (Control | null)[] = [
  'dpad-up',
  'dpad-down',
  'dpad-left',
  'dpad-right',
  'centre-right',
  'centre-left',
  'stick-left-press',
  'stick-right-press',
  'shoulder-left',
  'shoulder-right',
  'centre',
  null,
  'face-south',
  'face-east',
  'face-west',
  'face-north',
]

/** The vendor-class interface: class 0xFF, subclass 0x5D, protocol 1 (from memory). */
export const VENDOR_CLASS = { interfaceClass: 0xff, interfaceSubclass: 0x5d, interfaceProtocol: 1 } as const

/**
 * The pads of the vendor class, which have no report descriptor. Their report of 20 bytes, all from memory: type 0 and length 20 (a message that
 * begins otherwise is none, and the firmware passes over it), two bytes of
 * button bits, two triggers, four axes of 16 bits with y upwards, six bytes unused.
 * Vendor and product number 0 stand for any pad of the class; the adapter falls back on this where its bank has no entry.
 */
export const VENDOR_LAYOUT: Layout = {
  format: LAYOUT_FORMAT,
  version: LAYOUT_VERSION,
  name: 'Pad of the vendor class',
  notes: 'For every pad of this class.',
  pad: { via: 'vendor', vendorId: 0, productId: 0, descriptorCrc32: null },
  extractors: [
    ...VENDOR_BUTTONS.flatMap((control, k) => (control === null ? [] : [digital(control, 16 + k)])),
    analogue('trigger-left', fieldOf(32, 8), 255),
    analogue('trigger-right', fieldOf(40, 8), 255),
    ...SLOTS.map((slot, k) => axisOf(slot, 48 + 16 * k, slot[1] === 'y' ? AXIS_FULL : -AXIS_FULL)),
  ],
}
