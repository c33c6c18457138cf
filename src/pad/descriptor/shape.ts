import type { Field } from '../layout/schema.ts'

/** What a HID report descriptor says (HID 1.11 section 6.2.2): the reports of a device and what stands in them. */

export const REPORT_KINDS = ['input', 'output', 'feature'] as const
export type ReportKind = (typeof REPORT_KINDS)[number]

/** A usage: what a field is, by the HID Usage Tables. Both are 16 bits. */
export interface Usage {
  readonly page: number
  readonly id: number
}

/** Usages in a row, of one page; a single one where both ends are equal. */
export interface UsageRange {
  readonly page: number
  readonly first: number
  readonly last: number
}

/** What a main item says of its fields besides where they stand (HID 1.11 sections 6.2.2.5 and 6.2.2.7). */
export interface FieldTraits {
  readonly logicalMin: number
  readonly logicalMax: number
  /** Both 0: as the logical ones. */
  readonly physicalMin: number
  readonly physicalMax: number
  /** The system and powers of seven units, four bits each, as in the descriptor. */
  readonly unit: number
  /** Power of ten, −8 to 7. */
  readonly unitExponent: number
  readonly array: boolean
  readonly constant: boolean
  readonly relative: boolean
  readonly wrap: boolean
  readonly nonLinear: boolean
  readonly noPreferredState: boolean
  /** A value outside the logical range means "nothing". */
  readonly nullState: boolean
  readonly volatile: boolean
  readonly bufferedBytes: boolean
}

/** One field, or several equal ones in a row that have the same usages: an array, or what is left when usages run out. */
export interface ReportItem extends FieldTraits {
  /** The first of them. */
  readonly field: Field
  readonly count: number
  /**
   * Without `array` none or one usage. With it, what the values from `logicalMin` on stand for, in this order; any other value means
   * "nothing".
   */
  readonly usages: readonly UsageRange[]
  /** Usage of the outermost collection that it stands in; `null` outside of all. */
  readonly application: Usage | null
}

export interface ReportShape {
  readonly kind: ReportKind
  /** Its number; 0 where reports have none. */
  readonly report: number
  /** Its length, without the number. */
  readonly bits: number
  /** In the order of their bits. Padding has no item, nor have fields of more than 32 bits. */
  readonly items: readonly ReportItem[]
}

export interface Collection extends Usage {
  /** 0 physical, 1 application, 2 logical, 3 report, 4 named array, 5 usage switch, 6 usage modifier. */
  readonly type: number
  readonly children: readonly Collection[]
}

/** An oddity that one can live with. */
export interface Remark {
  /** Where in the descriptor; `null` where there is no descriptor to look into. */
  readonly byte: number | null
  readonly message: string
}

export interface ReportDescriptor {
  /** Reports begin with a byte that says their number. */
  readonly numbered: boolean
  /** Input before output before feature, then by number. */
  readonly reports: readonly ReportShape[]
  readonly collections: readonly Collection[]
  readonly remarks: readonly Remark[]
}

export interface DescriptorError {
  /** Offset of the item that is wrong. */
  readonly byte: number
  readonly message: string
}

/** How many usages an item names. */
export const usageCount = (usages: readonly UsageRange[]): number =>
  usages.reduce((sum, { first, last }) => sum + last - first + 1, 0)

/** The usage at a place in the row; `undefined` beyond its end. */
export function usageAt(usages: readonly UsageRange[], place: number): Usage | undefined {
  let left = place
  for (const { page, first, last } of usages) {
    if (left <= last - first) return { page, id: first + left }
    left -= last - first + 1
  }
  return undefined
}

/** The place of a usage in the row; −1 where it is not in it. */
export function placeOfUsage(usages: readonly UsageRange[], { page, id }: Usage): number {
  let before = 0
  for (const range of usages) {
    if (range.page === page && range.first <= id && id <= range.last) return before + id - range.first
    before += range.last - range.first + 1
  }
  return -1
}
