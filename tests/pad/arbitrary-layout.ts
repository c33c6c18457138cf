import fc from 'fast-check'
import { CONTROLS } from '../../src/pad/controls.ts'
import { CROSSES, LAYOUT_FORMAT, LAYOUT_LIMITS, LAYOUT_VERSION } from '../../src/pad/layout/schema.ts'
import type { Extractor, Field, Layout } from '../../src/pad/layout/schema.ts'
import { GATES } from '../../src/pad/stick/settings.ts'
import type { StickSettings } from '../../src/pad/stick/settings.ts'

/** Sound layouts of all kinds, reports that they read, and stick settings. */

const MOST_BITS = LAYOUT_LIMITS.reportBytes * 8
const INT32_MIN = -0x8000_0000
const INT32_MAX = 0x7fff_ffff

/** Small values are what pads have; the ends of 32 bits are where arithmetic breaks. */
const arbInt32 = fc.oneof(
  { weight: 5, arbitrary: fc.integer({ min: -300, max: 300 }) },
  { weight: 3, arbitrary: fc.integer({ min: INT32_MIN, max: INT32_MAX }) },
  { weight: 1, arbitrary: fc.constantFrom(INT32_MIN, INT32_MIN + 1, -1, 0, 1, INT32_MAX - 1, INT32_MAX) },
)

const arbSize = fc
  .tuple(fc.oneof(fc.constantFrom(1, 4, 8, 12, 16, 32), fc.integer({ min: 1, max: 32 })), fc.boolean())
  .map(([bits, signed]) => ({ bits: signed ? bits : Math.min(bits, 31), signed }))

/** 0 … 1, evenly: doubles as they come are mostly tiny. */
const arbShare = fc.nat(0xffff).map((k) => k / 0xffff)

/** A field, or the first of `count` in a row, that ends within the first so many bytes. */
const arbField = (report: fc.Arbitrary<number>, withinBytes: number, count = 1): fc.Arbitrary<Field> =>
  fc.tuple(report, arbSize, arbShare).map(([number, size, where]) => {
    const most = withinBytes * 8
    const bits = Math.min(size.bits, Math.max(1, Math.floor(most / count)))
    return { report: number, bit: Math.floor(where * (most - bits * count)), bits, signed: size.signed }
  })

/** The values that a field can have, so that thresholds are met. */
const arbValueOf = ({ bits, signed }: Field): fc.Arbitrary<number> =>
  fc.oneof(
    {
      weight: 4,
      arbitrary: fc.integer({
        min: signed ? -(2 ** (bits - 1)) : 0,
        max: signed ? 2 ** (bits - 1) - 1 : 2 ** bits - 1,
      }),
    },
    { weight: 1, arbitrary: arbInt32 },
  )

const arbControl = fc.constantFrom(...CONTROLS)

const arbThreshold = (field: fc.Arbitrary<Field>): fc.Arbitrary<Extractor> =>
  field.chain((one) =>
    fc.record({
      kind: fc.constant('threshold' as const),
      control: arbControl,
      field: fc.constant(one),
      press: arbValueOf(one),
      release: arbValueOf(one),
    }),
  )

const arbArray = (report: fc.Arbitrary<number>, withinBytes: number): fc.Arbitrary<Extractor> =>
  fc.oneof(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 1, max: 64 })).chain((wanted) => {
    const count = Math.min(wanted, withinBytes * 8)
    return arbField(report, withinBytes, count).chain((field) =>
      fc.record({
        kind: fc.constant('array' as const),
        control: arbControl,
        field: fc.constant(field),
        count: fc.constant(count),
        value: arbValueOf(field),
      }),
    )
  })

const arbStep = fc.oneof(
  { weight: 2, arbitrary: fc.constant(1) },
  { weight: 2, arbitrary: fc.integer({ min: 2, max: 64 }) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: LAYOUT_LIMITS.hatStep }) },
  { weight: 1, arbitrary: fc.constant(LAYOUT_LIMITS.hatStep) },
)

const arbHat = (field: fc.Arbitrary<Field>): fc.Arbitrary<Extractor> =>
  field.chain((one) =>
    fc.record({
      kind: fc.constant('hat' as const),
      cross: fc.constantFrom(...CROSSES),
      field: fc.constant(one),
      first: arbValueOf(one),
      step: arbStep,
      positions: fc.constantFrom(4 as const, 8 as const),
    }),
  )

/** A hat over the first 16 bits, whose positions lie in their range or about it. */
export const arbitraryWideHat: fc.Arbitrary<Extract<Extractor, { readonly kind: 'hat' }>> = fc.record({
  kind: fc.constant('hat' as const),
  cross: fc.constantFrom(...CROSSES),
  field: fc.boolean().map((signed) => ({ report: 0, bit: 0, bits: 16, signed })),
  first: fc.integer({ min: -0x9000, max: 0x11000 }),
  step: fc.oneof(fc.integer({ min: 1, max: 0x2000 }), arbStep),
  positions: fc.constantFrom(4 as const, 8 as const),
})

type Slot = readonly ['left' | 'right', 'x' | 'y']
const SLOTS: readonly Slot[] = [
  ['left', 'x'],
  ['left', 'y'],
  ['right', 'x'],
  ['right', 'y'],
]

const arbAxis = ([stick, axis]: Slot, field: fc.Arbitrary<Field>): fc.Arbitrary<Extractor> =>
  field.chain((one) =>
    fc
      .tuple(fc.uniqueArray(arbValueOf(one), { minLength: 3, maxLength: 3 }), fc.boolean())
      .filter(([values]) => values.length === 3)
      .map(([values, falls]) => {
        const [low = 0, centre = 0, high = 0] = values.toSorted((a, b) => (falls ? b - a : a - b))
        return { kind: 'axis' as const, stick, axis, field: one, low, centre, high }
      }),
  )

const arbExtractors = (
  report: fc.Arbitrary<number>,
  most: number,
  withinBytes: number,
): fc.Arbitrary<Layout['extractors']> => {
  const field = arbField(report, withinBytes)
  const wide = field.filter(({ bits }) => bits >= 2)
  const keys = fc.array(
    fc.oneof(
      { weight: 4, arbitrary: arbThreshold(field) },
      { weight: 1, arbitrary: arbArray(report, withinBytes) },
      { weight: 1, arbitrary: arbHat(field) },
    ),
    { maxLength: most },
  )
  const axes = fc
    .subarray([...SLOTS], { maxLength: Math.min(4, most) })
    .chain((slots) => fc.tuple(...slots.map((slot) => arbAxis(slot, wide))))
  return fc.tuple(keys, axes, arbThreshold(field), fc.boolean()).map(([some, sticks, one, axesFirst]) => {
    const all = axesFirst ? [...sticks, ...some] : [...some, ...sticks]
    return all.length === 0 ? [one] : all.slice(0, most)
  })
}

const arbReportNumber = fc.integer({ min: 1, max: 255 })

/**
 * Any sound layout.
 *
 * @param options.extractors most of them
 * @param options.withinBytes of data, where all fields end
 * @param options.vias ways of being read
 */
export const arbitraryLayout = (
  options: {
    readonly extractors?: number
    readonly withinBytes?: number
    readonly vias?: readonly Layout['pad']['via'][]
  } = {},
): fc.Arbitrary<Layout> => {
  const { extractors = LAYOUT_LIMITS.extractors, withinBytes = LAYOUT_LIMITS.reportBytes } = options
  const { vias = ['hid', 'vendor', 'gamepad'] } = options
  // A few numbers only, so that several extractors share a report.
  const report = fc.oneof(
    fc.constant(fc.constant(0)),
    fc
      .uniqueArray(arbReportNumber, { minLength: 1, maxLength: 3 })
      .map((numbers) => fc.constantFrom(...numbers)),
  )
  return fc.record({
    format: fc.constant(LAYOUT_FORMAT),
    version: fc.constant(LAYOUT_VERSION),
    name: fc.constantFrom('Pad of the lamp museum', 'A', 'Zwölf Knöpfe', '灯台のパッド'),
    notes: fc.constantFrom('', 'Found by pressing.'),
    pad: fc.record({
      via: fc.constantFrom(...vias),
      vendorId: fc.integer({ min: 0, max: 0xffff }),
      productId: fc.integer({ min: 0, max: 0xffff }),
      descriptorCrc32: fc.option(fc.integer({ min: 0, max: 0xffff_ffff })),
    }),
    extractors: report.chain((one) => arbExtractors(one, extractors, withinBytes)),
  })
}

/** Bytes as a pad may send them to this layout: mostly one of its reports, sometimes cut, sometimes of another number. */
export const arbitraryReport = (layout: Pick<Layout, 'extractors'>): fc.Arbitrary<Uint8Array> => {
  const numbers = [...new Set(layout.extractors.map(({ field }) => field.report))]
  const numbered = numbers.some((number) => number > 0)
  const data = fc.oneof(
    { weight: 4, arbitrary: fc.uint8Array({ minLength: MOST_BITS / 8, maxLength: MOST_BITS / 8 }) },
    { weight: 1, arbitrary: fc.uint8Array({ maxLength: MOST_BITS / 8 }) },
    { weight: 1, arbitrary: fc.constantFrom(new Uint8Array(64), new Uint8Array(64).fill(0xff)) },
  )
  if (!numbered) return data
  const number = fc.oneof(
    { weight: 6, arbitrary: fc.constantFrom(...numbers) },
    { weight: 1, arbitrary: fc.integer({ min: 0, max: 255 }) },
  )
  return fc.oneof(
    { weight: 20, arbitrary: fc.tuple(number, data).map(([one, rest]) => Uint8Array.of(one, ...rest)) },
    { weight: 1, arbitrary: fc.constant(new Uint8Array(0)) },
  )
}

/** Any stick settings that the schema takes. */
export const arbitraryStick: fc.Arbitrary<StickSettings> = fc
  .record({
    gate: fc.constantFrom(...GATES),
    innerPercent: fc.integer({ min: 5, max: 95 }),
    outerPercent: fc.integer({ min: 20, max: 100 }),
    diagonalPercent: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 90 })),
    hysteresisPercent: fc.integer({ min: 1, max: 50 }),
  })
  .map((one) => ({ ...one, hysteresisPercent: Math.min(one.hysteresisPercent, one.innerPercent - 1) }))
