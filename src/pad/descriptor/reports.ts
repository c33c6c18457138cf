import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { Field } from '../layout/schema.ts'
import { oddTexts, t } from './descriptor-texts.ts'
import { REPORT_KINDS, usageAt, usageCount } from './shape.ts'
import type { FieldTraits, ReportItem, ReportKind, ReportShape, Usage, UsageRange } from './shape.ts'

/** A main item that makes fields, with all that counts for it. */
export interface MainItem extends FieldTraits {
  readonly kind: ReportKind
  readonly report: number
  /** Bits of a field, and how many fields. */
  readonly size: number
  readonly count: number
  readonly usages: readonly UsageRange[]
  readonly application: Usage | null
}

/** A control transfer counts its bytes in 16 bits (USB 2.0 section 9.3.5), and so does nothing that is longer come over. */
export const MOST_REPORT_BYTES = 65_535

/** Fields that are told apart by their usages. Ours: a keyboard with a bit for each key has about 240, no pad comes near. */
export const MOST_FIELDS = 1024

/** HID 1.11 section 8.4: an item spans no more than 4 bytes. */
const MOST_FIELD_BITS = 32

interface Growing {
  readonly kind: ReportKind
  readonly report: number
  bits: number
  readonly items: ReportItem[]
}

/** Puts fields one behind the other, for each report by itself. */
export class Reports {
  readonly #reports = new Map<string, Growing>()
  #fields = 0

  /**
   * Adds the fields of a main item.
   *
   * @returns what is odd about them, in sentences
   */
  add(main: MainItem): Result<readonly string[], string> {
    const { kind, report, size, count } = main
    const key = `${kind} ${report}`
    const grown = this.#reports.get(key) ?? { kind, report, bits: 0, items: [] }
    const length = size * count
    if (grown.bits + length > MOST_REPORT_BYTES * 8) {
      return err(
        t.reportTooLong({
          count,
          size,
          bytes: Math.ceil((grown.bits + length) / 8),
          most: MOST_REPORT_BYTES,
        }),
      )
    }
    this.#reports.set(key, grown)
    if (length === 0) return ok([oddTexts.noFields({ count, size })])
    const bit = grown.bits
    grown.bits += length
    if (main.constant && main.usages.length === 0) return ok([])
    if (size > MOST_FIELD_BITS) {
      return ok([oddTexts.tooWide({ size, most: MOST_FIELD_BITS })])
    }
    const odd = rangeOddities(main)
    const add = (at: number, run: number, usages: readonly UsageRange[]): void => {
      const field = { report, bit: bit + at * size, bits: size, signed: main.logicalMin < 0 }
      grown.items.push(itemOf(main, field, run, usages))
    }
    if (main.array) {
      add(0, count, main.usages)
      return ok(odd)
    }
    // Each field has a usage of its own; the last usage goes for all that are left (HID 1.11 section 6.2.2.8).
    const own = Math.min(count, Math.max(1, usageCount(main.usages)))
    this.#fields += own
    if (this.#fields > MOST_FIELDS) {
      return err(t.tooManyFields({ most: MOST_FIELDS }))
    }
    for (let k = 0; k < own; k++) {
      const usage = usageAt(main.usages, k)
      const run = k === own - 1 ? count - k : 1
      add(k, run, usage === undefined ? [] : [{ page: usage.page, first: usage.id, last: usage.id }])
    }
    return ok(odd)
  }

  get shapes(): ReportShape[] {
    const rank = (kind: ReportKind) => REPORT_KINDS.indexOf(kind)
    return [...this.#reports.values()]
      .filter(({ bits }) => bits > 0)
      .sort((a, b) => rank(a.kind) - rank(b.kind) || a.report - b.report)
  }
}

/** Written out: a spread would take most of the time that a descriptor takes. */
const itemOf = (main: MainItem, field: Field, count: number, usages: readonly UsageRange[]): ReportItem => ({
  field,
  count,
  usages,
  application: main.application,
  logicalMin: main.logicalMin,
  logicalMax: main.logicalMax,
  physicalMin: main.physicalMin,
  physicalMax: main.physicalMax,
  unit: main.unit,
  unitExponent: main.unitExponent,
  array: main.array,
  constant: main.constant,
  relative: main.relative,
  wrap: main.wrap,
  nonLinear: main.nonLinear,
  noPreferredState: main.noPreferredState,
  nullState: main.nullState,
  volatile: main.volatile,
  bufferedBytes: main.bufferedBytes,
})

/** The least and the greatest value of a field. */
export const fieldRange = ({ bits, signed }: Pick<Field, 'bits' | 'signed'>): readonly [number, number] =>
  signed ? [-(2 ** (bits - 1)), 2 ** (bits - 1) - 1] : [0, 2 ** bits - 1]

function rangeOddities({ size, logicalMin, logicalMax, constant }: MainItem): string[] {
  const [least, most] = fieldRange({ bits: size, signed: logicalMin < 0 })
  if (constant || (least <= logicalMin && logicalMax <= most)) return []
  return [oddTexts.doNotFit({ from: logicalMin, to: logicalMax, size })]
}
