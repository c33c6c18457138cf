import fc from 'fast-check'
import type { WebHidCollection, WebHidItem, WebHidReport } from '../../../src/pad/descriptor/web-hid.ts'
import { REPORT_KINDS } from '../../../src/pad/descriptor/shape.ts'
import type { ReportKind } from '../../../src/pad/descriptor/shape.ts'

/** A device as its maker thinks of it, from which a report descriptor and the collections of WebHID are both made. */

export interface MadeFields {
  readonly kind: ReportKind
  readonly report: number
  readonly size: number
  readonly count: number
  readonly page: number
  /** Each usage by itself, or the two ends of a range. */
  readonly usages: readonly number[]
  readonly range: boolean
  readonly logical: readonly [number, number]
  readonly physical: readonly [number, number]
  readonly unit: number
  readonly exponent: number
  /** The nine flags of a main item, from bit 0. */
  readonly flags: number
}

export interface MadeCollection {
  readonly page: number
  readonly usage: number
  readonly type: number
  readonly inside: readonly (MadeFields | MadeCollection)[]
}

export const isCollection = (made: MadeFields | MadeCollection): made is MadeCollection => 'inside' in made

const arbRange = (size: number): fc.Arbitrary<readonly [number, number]> =>
  fc.boolean().chain((signed) => {
    const bits = Math.min(size, 31)
    const [least, most] = signed ? [-(2 ** (bits - 1)), 2 ** (bits - 1) - 1] : [0, 2 ** bits - 1]
    return fc
      .tuple(fc.integer({ min: least, max: most }), fc.integer({ min: least, max: most }))
      .map(([a, b]) => [Math.min(a, b), Math.max(a, b)] as const)
  })

const arbUsages = fc.oneof(
  fc.record({
    range: fc.constant(false),
    usages: fc.array(fc.integer({ min: 1, max: 0xffff }), { maxLength: 6 }),
  }),
  fc
    .tuple(fc.integer({ min: 1, max: 0xff00 }), fc.integer({ min: 1, max: 40 }))
    .map(([first, more]) => ({ range: true, usages: [first, first + more] })),
)

export const arbFields = (reports: readonly number[]): fc.Arbitrary<MadeFields> =>
  fc.integer({ min: 1, max: 32 }).chain((size) =>
    fc
      .record({
        kind: fc.constantFrom(...REPORT_KINDS),
        report: fc.constantFrom(...reports),
        size: fc.constant(size),
        count: fc.integer({ min: 1, max: 12 }),
        page: fc.constantFrom(1, 2, 5, 7, 9, 0x0c, 0xff00),
        usages: arbUsages,
        logical: arbRange(size),
        physical: arbRange(16),
        unit: fc.constantFrom(0, 0x14, 0x1001, 0xe111),
        exponent: fc.integer({ min: -8, max: 7 }),
        flags: fc.integer({ min: 0, max: 0x1ff }),
      })
      .map(({ usages, ...rest }) => ({ ...rest, ...usages })),
  )

const arbCollection = (reports: readonly number[], depth: number): fc.Arbitrary<MadeCollection> =>
  fc.record({
    page: fc.constantFrom(1, 2, 0x0c, 0xff00),
    usage: fc.integer({ min: 1, max: 0xffff }),
    type: fc.integer({ min: 0, max: 6 }),
    inside: fc.array(
      depth === 0 ? arbFields(reports) : fc.oneof(arbFields(reports), arbCollection(reports, depth - 1)),
      { minLength: 1, maxLength: 4 },
    ),
  })

/** Collections that hold at least one main item; numbered reports or one without a number. */
export const arbDevice: fc.Arbitrary<readonly MadeCollection[]> = fc
  .constantFrom([0], [1], [1, 2, 255])
  .chain((reports) => fc.array(arbCollection(reports, 2), { minLength: 1, maxLength: 3 }))
  .filter((device) => fieldsOf(device).length > 0)

/** All main items in the order of the descriptor, each with its outermost collection. */
export const fieldsOf = (device: readonly MadeCollection[]): { made: MadeFields; top: MadeCollection }[] =>
  device.flatMap((top) => inside(top).map((made) => ({ made, top })))

const inside = (made: MadeCollection): MadeFields[] =>
  made.inside.flatMap((each) => (isCollection(each) ? inside(each) : [each]))

/** A short item: its prefix without the size, and its data in as few bytes as hold it with sign. */
export function shortItem(code: number, value: number): number[] {
  const size = value >= -128 && value <= 127 ? 1 : value >= -32768 && value <= 32767 ? 2 : 4
  const bytes = Array.from({ length: size }, (_, k) => Math.floor(value / 256 ** k) & 0xff)
  return [code | (size === 4 ? 3 : size), ...bytes]
}

/** Data of so many bytes. */
export const sizedItem = (code: number, value: number, size: 1 | 2 | 4): number[] => [
  code | (size === 4 ? 3 : size),
  ...Array.from({ length: size }, (_, k) => Math.floor(value / 256 ** k) & 0xff),
]

const MAIN = { input: 0x80, output: 0x90, feature: 0xb0 } as const

/** The descriptor: every item that counts is set anew; `wide` gives usages with their pages in four bytes. */
export function descriptorOf(device: readonly MadeCollection[], wide = false): Uint8Array {
  const usage = (code: number, page: number, id: number) =>
    wide ? sizedItem(code, page * 65536 + id, 4) : sizedItem(code, id, id > 255 ? 2 : 1)
  const page = (number: number) => (wide ? [] : sizedItem(0x04, number, 2))
  const fields = (made: MadeFields): number[] => [
    ...page(made.page),
    // A push before and a pop behind change nothing.
    ...(wide ? [0xa4, ...shortItem(0x74, 3), ...shortItem(0x94, 5), 0xb4] : []),
    ...(made.report > 0 ? sizedItem(0x84, made.report, 1) : []),
    ...shortItem(0x14, made.logical[0]),
    ...shortItem(0x24, made.logical[1]),
    ...shortItem(0x34, made.physical[0]),
    ...shortItem(0x44, made.physical[1]),
    ...sizedItem(0x64, made.unit, 4),
    ...sizedItem(0x54, made.exponent & 15, 1),
    ...shortItem(0x74, made.size),
    ...shortItem(0x94, made.count),
    ...(made.range
      ? [...usage(0x18, made.page, made.usages[0] ?? 0), ...usage(0x28, made.page, made.usages[1] ?? 0)]
      : made.usages.flatMap((id) => usage(0x08, made.page, id))),
    ...sizedItem(MAIN[made.kind], made.flags, 2),
  ]
  const collection = (made: MadeCollection): number[] => [
    ...page(made.page),
    ...usage(0x08, made.page, made.usage),
    ...sizedItem(0xa0, made.type, 1),
    ...made.inside.flatMap((each) => (isCollection(each) ? collection(each) : fields(each))),
    0xc0,
  ]
  return Uint8Array.from(device.flatMap(collection))
}

const SYSTEMS = ['none', 'si-linear', 'si-rotation', 'english-linear', 'english-rotation']
const nibble = (unit: number, place: number): number => ((unit >>> (4 * place)) << 28) >> 28

/** What WebHID says of a main item (WICG WebHID, "HIDReportItem dictionary"). */
function webHidItem(made: MadeFields): WebHidItem {
  const flag = (bit: number) => ((made.flags >>> bit) & 1) === 1
  const usage = (id = 0) => made.page * 65536 + id
  return {
    isConstant: flag(0),
    isArray: !flag(1),
    isAbsolute: !flag(2),
    wrap: flag(3),
    isLinear: !flag(4),
    hasPreferredState: !flag(5),
    hasNull: flag(6),
    isVolatile: flag(7),
    isBufferedBytes: flag(8),
    isRange: made.range,
    ...(made.range
      ? { usageMinimum: usage(made.usages[0]), usageMaximum: usage(made.usages[1]) }
      : { usages: made.usages.map(usage) }),
    reportSize: made.size,
    reportCount: made.count,
    unitExponent: made.exponent,
    unitSystem: SYSTEMS[made.unit & 15] ?? 'reserved',
    unitFactorLengthExponent: nibble(made.unit, 1),
    unitFactorMassExponent: nibble(made.unit, 2),
    unitFactorTimeExponent: nibble(made.unit, 3),
    unitFactorTemperatureExponent: nibble(made.unit, 4),
    unitFactorCurrentExponent: nibble(made.unit, 5),
    unitFactorLuminousIntensityExponent: nibble(made.unit, 6),
    logicalMinimum: made.logical[0],
    logicalMaximum: made.logical[1],
    physicalMinimum: made.physical[0],
    physicalMaximum: made.physical[1],
  }
}

/** The collections as WebHID gives them: every collection lists the items of all that is in it; reports come in no order. */
export const webHidOf = (device: readonly MadeCollection[]): WebHidCollection[] =>
  device.map((made) => {
    const reports = (kind: ReportKind): WebHidReport[] => {
      const those = inside(made).filter((fields) => fields.kind === kind)
      const numbers = [...new Set(those.map(({ report }) => report))].sort((a, b) => b - a)
      return numbers.map((reportId) => ({
        reportId,
        items: those.filter(({ report }) => report === reportId).map(webHidItem),
      }))
    }
    return {
      usagePage: made.page,
      usage: made.usage,
      type: made.type,
      children: webHidOf(made.inside.filter(isCollection)),
      inputReports: reports('input'),
      outputReports: reports('output'),
      featureReports: reports('feature'),
    }
  })
