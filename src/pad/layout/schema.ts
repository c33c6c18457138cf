import * as v from 'valibot'
import type { DocumentKind } from '../../document/document.ts'
import { nameUpToBytes, notesUpToBytes, whole } from '../../document/fields.ts'
import type { Frozen } from '../../document/frozen.ts'
import { CONTROLS } from '../controls.ts'
import { t } from './layout-file-texts.ts'

/**
 * A pad's layout: where in its reports each control stands. It belongs to the pad and not to a title, so it is a file of its own,
 * and goes into a bank beside the profile. What each extractor means, to the bit, is in IMAGE.md ("From a report to controls").
 */

export const LAYOUT_FORMAT = 'ninepin-layout'
export const LAYOUT_VERSION = 1

/** Bounds that the image and the adapter share. */
export const LAYOUT_LIMITS = {
  nameBytes: 32,
  notesBytes: 4000,
  extractors: 40,
  /** A full-speed interrupt packet (USB 2.0 section 5.7.3). */
  reportBytes: 64,
  hatStep: 1_000_000,
  /** Fields of an array in a row. */
  arrayFields: 64,
  fileBytes: 65_536,
} as const

const INT32 = { min: -0x8000_0000, max: 0x7fff_ffff } as const
const value = whole(INT32.min, INT32.max, () => t.whole32)

/** Bits of a report, the least significant first, without the byte that carries the report's number (HID 1.11 section 8.4). */
const FieldSchema = v.pipe(
  v.strictObject({
    /** Number of the report; 0 where the pad's reports have none. */
    report: whole(0, 255),
    /** From the start of the data, behind the number. */
    bit: whole(0, LAYOUT_LIMITS.reportBytes * 8 - 1),
    bits: whole(1, 32),
    /** Two's complement. Without it 31 bits at most. */
    signed: v.boolean(),
  }),
  v.check(
    ({ bits, signed }) => signed || bits <= 31,
    () => t.unsigned31,
  ),
  v.check(
    ({ bit, bits }) => bit + bits <= LAYOUT_LIMITS.reportBytes * 8,
    () => t.fieldEnds({ bytes: LAYOUT_LIMITS.reportBytes }),
  ),
)

const ControlSchema = v.picklist(CONTROLS)

/** Four controls that belong together: up, down, left, right. */
export const CROSSES = ['dpad', 'stick-left', 'stick-right'] as const

/** Held by a value: a button, a trigger, one half of an axis. */
const ThresholdSchema = v.strictObject({
  kind: v.literal('threshold'),
  control: ControlSchema,
  field: FieldSchema,
  /** Held from here on, upwards where `press` is not below `release`, else downwards, */
  press: value,
  /** and let go when it is no longer held by the value and has come back beyond this. */
  release: value,
})

/** Held while any of several equal fields in a row has this value: an array item of HID. */
const ArraySchema = v.pipe(
  v.strictObject({
    kind: v.literal('array'),
    control: ControlSchema,
    /** The first of them. */
    field: FieldSchema,
    count: whole(1, LAYOUT_LIMITS.arrayFields),
    value,
  }),
  v.check(
    ({ field, count }) => field.bit + field.bits * count <= LAYOUT_LIMITS.reportBytes * 8,
    () => t.arrayEnds({ bytes: LAYOUT_LIMITS.reportBytes }),
  ),
)

/** A hat switch: positions clockwise from up, equally far apart; any other value is its null state (HID 1.11 section 6.2.2.5). */
const HatSchema = v.strictObject({
  kind: v.literal('hat'),
  cross: v.picklist(CROSSES),
  field: FieldSchema,
  /** The least value of up. */
  first: value,
  /** How many values each position has. Where it is not written it is 1, so that either way of writing is the same layout. */
  step: v.exactOptional(whole(1, LAYOUT_LIMITS.hatStep), 1),
  positions: v.picklist([4, 8]),
})

/** One axis of a stick. `low` is left or up; it may be above `high` where the axis runs the other way. */
const AxisSchema = v.pipe(
  v.strictObject({
    kind: v.literal('axis'),
    stick: v.picklist(['left', 'right']),
    axis: v.picklist(['x', 'y']),
    field: FieldSchema,
    low: value,
    centre: value,
    high: value,
  }),
  v.check(
    ({ low, centre, high }) => (low < centre && centre < high) || (high < centre && centre < low),
    () => t.axisCentre,
  ),
)

const ExtractorSchema = v.variant('kind', [ThresholdSchema, ArraySchema, HatSchema, AxisSchema])

const slotOf = (extractor: v.InferOutput<typeof AxisSchema>): string => `${extractor.stick} ${extractor.axis}`

export const LayoutSchema = v.pipe(
  v.strictObject({
    format: v.literal(LAYOUT_FORMAT),
    version: v.literal(LAYOUT_VERSION),
    name: nameUpToBytes(LAYOUT_LIMITS.nameBytes),
    notes: notesUpToBytes(LAYOUT_LIMITS.notesBytes),
    /** Which pad it is for. */
    pad: v.strictObject({
      /**
       * How its reports are had: `hid` by a HID interface, `vendor` by the vendor-class interface that the firmware knows,
       * `gamepad` from the browser's Gamepad API only (see `../gamepad-report.ts`); the adapter cannot use the last.
       */
      via: v.picklist(['hid', 'vendor', 'gamepad']),
      vendorId: whole(0, 0xffff),
      productId: whole(0, 0xffff),
      /** CRC-32 of its report descriptor, where one product number stands for several pads; `null` for any. */
      descriptorCrc32: v.nullable(whole(0, 0xffff_ffff)),
    }),
    extractors: v.pipe(
      v.array(ExtractorSchema),
      v.minLength(1, () => t.oneControl),
      v.maxLength(LAYOUT_LIMITS.extractors, ({ input }) =>
        t.mostPlaces({ most: LAYOUT_LIMITS.extractors, n: input.length }),
      ),
      v.check(
        (all) => {
          const axes = all.flatMap((one) => (one.kind === 'axis' ? [slotOf(one)] : []))
          return new Set(axes).size === axes.length
        },
        () => t.axisOnce,
      ),
      v.check(
        (all) => all.every(({ field }) => field.report === 0) || all.every(({ field }) => field.report > 0),
        () => t.numbered,
      ),
    ),
  }),
)

export type Layout = Frozen<v.InferOutput<typeof LayoutSchema>>
export type Extractor = Layout['extractors'][number]
export type Field = Extractor['field']
export type Cross = (typeof CROSSES)[number]
export type PadIdentity = Layout['pad']

export const LAYOUT_KIND: DocumentKind<typeof LayoutSchema> = {
  format: LAYOUT_FORMAT,
  noun: () => t.noun,
  version: LAYOUT_VERSION,
  migrations: {},
  maxBytes: LAYOUT_LIMITS.fileBytes,
  schema: LayoutSchema,
}
