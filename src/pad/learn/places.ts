import { fieldRange } from '../descriptor/reports.ts'
import { usageAt } from '../descriptor/shape.ts'
import type { ReportDescriptor, ReportItem, Usage } from '../descriptor/shape.ts'
import { AXIS_FULL, valueOf } from '../extract.ts'
import {
  AXIS_NOTHING,
  BUTTON_FULL,
  GAMEPAD_AXES,
  GAMEPAD_BUTTONS,
  axisBit,
  buttonBit,
} from '../gamepad-report.ts'
import { LAYOUT_LIMITS } from '../layout/schema.ts'
import type { Field } from '../layout/schema.ts'

/** Where in a pad's reports something may be found by pressing. */

/**
 * From the surest to the least sure. The raw ones are guesses at what a vendor left undescribed: each bit, each half of a byte as a hat,
 * each byte with and without sign.
 */
export const PLACE_KINDS = ['button', 'array', 'hat', 'axis', 'raw-bit', 'raw-hat', 'raw-byte'] as const
export type PlaceKind = (typeof PLACE_KINDS)[number]

export interface ReportPlace {
  readonly kind: PlaceKind
  /** The field, or the first of `count` in a row for an array. */
  readonly field: Field
  readonly count: number
  /** Least and greatest value that means something. */
  readonly least: number
  readonly most: number
  /** Of an axis: what has this value is a hat, and holds nothing by it. */
  readonly nothing?: number
}

/** An axis that turned out to be a hat. */
export const asHat = (place: ReportPlace): ReportPlace => ({ ...place, kind: 'hat' })

/** A value tells one thing from another and not how far. */
export const isDiscrete = ({ kind, least, most }: ReportPlace): boolean =>
  kind === 'array' || kind === 'hat' || kind === 'raw-hat' || most - least === 1

/** What an array says while nothing is held (HID 1.11 section 6.2.2.5: a value out of its range, and 0 by custom). */
export const EMPTY = 0

/** The value of a place; of an array the first field that says something. */
export function placeValue({ kind, field, count, least, most }: ReportPlace, data: Uint8Array): number {
  if (kind !== 'array') return valueOf(data, field)
  for (let n = 0; n < count; n++) {
    const value = valueOf(data, field, n * field.bits)
    if (value !== EMPTY && value >= least && value <= most) return value
  }
  return EMPTY
}

/** Whether a report's data reach to the end of a place. */
export const carries = ({ field, count }: ReportPlace, data: Uint8Array): boolean =>
  field.bit + field.bits * count <= data.length * 8

/** Whether a layout can name it. */
const fits = ({ field, count }: ReportPlace): boolean =>
  field.bit + field.bits * count <= LAYOUT_LIMITS.reportBytes * 8 &&
  (field.signed || field.bits <= 31) &&
  count <= 64

function rawPlaces({ report, bit, bits }: Field): ReportPlace[] {
  const places: ReportPlace[] = []
  const add = (kind: PlaceKind, at: number, size: number, signed = false) => {
    if (at + size > bit + bits) return
    const field = { report, bit: at, bits: size, signed }
    const [least, most] = fieldRange(field)
    places.push({ kind, field, count: 1, least, most })
  }
  for (let at = bit; at < bit + bits; at++) {
    add('raw-bit', at, 1)
    if (at % 4 === 0) add('raw-hat', at, 4)
    if (at % 8 === 0) add('raw-byte', at, 8)
    if (at % 8 === 0) add('raw-byte', at, 8, true)
  }
  return places
}

/** From here on usage pages are vendors' own, and say nothing (HID Usage Tables, section 3). */
const VENDOR_PAGES = 0xff00
/** Hat switch, generic desktop page. */
const HAT: Usage = { page: 1, id: 0x39 }
/** One for each direction; those that tell degrees or count their null state have more. */
const LEAST_HAT_VALUES = 4

function placesOfItem(item: ReportItem): ReportPlace[] {
  const { field, count, array, usages } = item
  if (item.constant || item.relative) return []
  if (usages.length === 0 || usages.every(({ page }) => page >= VENDOR_PAGES)) {
    return rawPlaces({ ...field, bits: field.bits * count })
  }
  const limits = { least: item.logicalMin, most: item.logicalMax }
  if (array) return [{ kind: 'array', field, count, ...limits }]
  const values = limits.most - limits.least + 1
  const usage = usageAt(usages, 0)
  const isHat = usage?.page === HAT.page && usage.id === HAT.id && values >= LEAST_HAT_VALUES
  const kind = isHat ? 'hat' : values === 2 ? 'button' : 'axis'
  return Array.from({ length: count }, (_, n) => ({
    kind,
    field: { ...field, bit: field.bit + n * field.bits },
    count: 1,
    ...limits,
  }))
}

/** The places in the reports that a descriptor tells of. What lies beyond 64 bytes is left out: no packet carries it. */
export const placesOfDescriptor = ({ reports }: Pick<ReportDescriptor, 'reports'>): ReportPlace[] =>
  reports
    .filter(({ kind }) => kind === 'input')
    .flatMap(({ items }) => items.flatMap(placesOfItem))
    .filter((place) => place.most > place.least && fits(place))

/** The places of a browser's gamepad. */
export const GAMEPAD_PLACES: readonly ReportPlace[] = [
  ...Array.from({ length: GAMEPAD_BUTTONS }, (_, k): ReportPlace => {
    const field = { report: 0, bit: buttonBit(k), bits: 8, signed: false }
    return { kind: 'button', field, count: 1, least: 0, most: BUTTON_FULL }
  }),
  ...Array.from({ length: GAMEPAD_AXES }, (_, k): ReportPlace => {
    const field = { report: 0, bit: axisBit(k), bits: 16, signed: true }
    return { kind: 'axis', field, count: 1, least: -AXIS_FULL, most: AXIS_FULL, nothing: AXIS_NOTHING }
  }),
]
