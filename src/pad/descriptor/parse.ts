import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { oddTexts, t } from './descriptor-texts.ts'
import { LONG, itemAt } from './items.ts'
import type { Item } from './items.ts'
import { Locals } from './locals.ts'
import { rangeFrom, signedExponent } from './numbers.ts'
import { Reports } from './reports.ts'
import type { Collection, DescriptorError, Remark, ReportDescriptor, ReportKind, Usage } from './shape.ts'

/** A HID descriptor counts the bytes of a report descriptor in 16 bits (HID 1.11 section 6.2.1). */
export const MOST_DESCRIPTOR_BYTES = 65_535

/** Ours; pads have three or four. */
export const DEEPEST_COLLECTION = 32

/** What global items set: it holds until it is set anew, or comes back by a pop. */
interface Globals {
  readonly page: number
  readonly logicalMin: Item | null
  readonly logicalMax: Item | null
  readonly physicalMin: Item | null
  readonly physicalMax: Item | null
  readonly unit: number
  readonly unitExponent: number
  readonly size: number
  readonly count: number
  readonly report: number
}

const AT_FIRST: Globals = {
  page: 0,
  logicalMin: null,
  logicalMax: null,
  physicalMin: null,
  physicalMax: null,
  unit: 0,
  unitExponent: 0,
  size: 0,
  count: 0,
  report: 0,
}

const FIELD_KINDS: Readonly<Record<number, ReportKind>> = { 0x80: 'input', 0x90: 'output', 0xb0: 'feature' }

/**
 * Reads a report descriptor (HID 1.11 section 6.2.2). What real devices do wrong and one can live with is a remark. Never throws; takes
 * time and memory in proportion to the descriptor, whatever it says of counts and sizes.
 */
export function parseReportDescriptor(bytes: Uint8Array): Result<ReportDescriptor, DescriptorError> {
  if (bytes.length === 0) return err({ byte: 0, message: t.noByte })
  if (bytes.length > MOST_DESCRIPTOR_BYTES) {
    return err({
      byte: MOST_DESCRIPTOR_BYTES,
      message: t.tooLong({ n: bytes.length, most: MOST_DESCRIPTOR_BYTES }),
    })
  }
  const parser = new Parser()
  for (let byte = 0; byte < bytes.length;) {
    const item = itemAt(bytes, byte)
    if (!item.ok) return item
    const error = parser.take(item.value)
    if (error !== null) return err({ byte, message: error })
    byte = item.value.next
  }
  return parser.finish(bytes.length)
}

interface Open extends Usage {
  readonly byte: number
  readonly type: number
  readonly children: Open[]
}

class Parser {
  #globals = AT_FIRST
  readonly #pushed: Globals[] = []
  readonly #locals = new Locals()
  readonly #reports = new Reports()
  readonly #top: Open[] = []
  readonly #open: Open[] = []
  readonly #remarks: Remark[] = []
  #numbered = false
  #unnumberedAt: number | null = null
  #fields = 0

  /** @returns what is wrong, or nothing */
  take(item: Item): string | null {
    const remark = (message: string) => void this.#remarks.push({ byte: item.byte, message })
    const set = (change: Partial<Globals>) => (this.#globals = { ...this.#globals, ...change })
    switch (item.code) {
      case 0x80:
      case 0x90:
      case 0xb0:
        return this.#addFields(item, FIELD_KINDS[item.code] ?? 'input')
      case 0xa0:
        return this.#openCollection(item)
      case 0xc0:
        if (this.#open.pop() === undefined) remark(oddTexts.collectionEnds)
        this.#locals.clear(remark)
        return null
      case 0x04:
        set({ page: item.unsigned & 0xffff })
        if (item.unsigned > 0xffff) remark(oddTexts.usagePage)
        return null
      case 0x14:
        set({ logicalMin: item })
        return null
      case 0x24:
        set({ logicalMax: item })
        return null
      case 0x34:
        set({ physicalMin: item })
        return null
      case 0x44:
        set({ physicalMax: item })
        return null
      case 0x54:
        set({ unitExponent: signedExponent(item) })
        return null
      case 0x64:
        set({ unit: item.unsigned })
        return null
      case 0x74:
        set({ size: item.unsigned })
        return null
      case 0x84:
        return this.#number(item, remark)
      case 0x94:
        set({ count: item.unsigned })
        return null
      case 0xa4:
        this.#pushed.push(this.#globals)
        return null
      case 0xb4: {
        const pushed = this.#pushed.pop()
        if (pushed === undefined) remark(oddTexts.pop)
        // The number of the report stays: the example of the USB-IF's descriptor tool (`tests/pad/descriptor/real/01-tablet.hex`) needs it.
        else this.#globals = { ...pushed, report: this.#globals.report }
        return null
      }
      case LONG:
        remark(oddTexts.longItem)
        return null
      default:
        if (!this.#locals.take(item, this.#globals.page, remark)) remark(oddTexts.reserved)
        return null
    }
  }

  finish(length: number): Result<ReportDescriptor, DescriptorError> {
    const open = this.#open.at(-1)
    if (open !== undefined) {
      return err({
        byte: length,
        message: t.openCollection({ byte: open.byte, around: this.#open.length - 1 }),
      })
    }
    if (this.#fields === 0) {
      return err({
        byte: length,
        message: t.noField,
      })
    }
    if (this.#numbered && this.#unnumberedAt !== null) {
      this.#remarks.push({
        byte: this.#unnumberedAt,
        message: oddTexts.unnumbered,
      })
    }
    return ok({
      numbered: this.#numbered,
      reports: this.#reports.shapes,
      collections: this.#top.map(closed),
      remarks: this.#remarks,
    })
  }

  #number(item: Item, remark: (message: string) => void): string | null {
    if (item.unsigned > 255) return t.reportNumber({ found: item.unsigned })
    if (item.unsigned === 0) {
      remark(oddTexts.numberZero)
      return null
    }
    this.#numbered = true
    this.#globals = { ...this.#globals, report: item.unsigned }
    return null
  }

  #openCollection(item: Item): string | null {
    if (this.#open.length >= DEEPEST_COLLECTION) {
      return t.tooDeep({ most: DEEPEST_COLLECTION })
    }
    const remark = (message: string) => void this.#remarks.push({ byte: item.byte, message })
    const [usage] = this.#locals.usages(this.#globals.page, remark)
    const { page, first } = usage ?? { page: 0, first: 0 }
    const inside = this.#open.at(-1)
    const opened: Open = { page, id: first, byte: item.byte, type: item.unsigned & 0xff, children: [] }
    ;(inside === undefined ? this.#top : inside.children).push(opened)
    this.#open.push(opened)
    this.#locals.clear(remark)
    return null
  }

  #addFields(item: Item, kind: ReportKind): string | null {
    const remark = (message: string) => void this.#remarks.push({ byte: item.byte, message })
    const globals = this.#globals
    const flag = (bit: number): boolean => ((item.unsigned >>> bit) & 1) === 1
    const usages = this.#locals.usages(globals.page, remark)
    this.#locals.clear(remark)
    const logical = rangeFrom(globals.logicalMin, globals.logicalMax, globals.size)
    const physical = rangeFrom(globals.physicalMin, globals.physicalMax, globals.size)
    if (logical.odd !== null && !flag(0)) remark(logical.odd)
    const outermost = this.#open[0]
    if (outermost === undefined) remark(oddTexts.outside)
    if (!this.#numbered) this.#unnumberedAt ??= item.byte
    const added = this.#reports.add({
      kind,
      report: globals.report,
      size: globals.size,
      count: globals.count,
      usages,
      application: outermost === undefined ? null : { page: outermost.page, id: outermost.id },
      logicalMin: logical.min,
      logicalMax: logical.max,
      physicalMin: physical.min,
      physicalMax: physical.max,
      unit: globals.unit,
      unitExponent: globals.unitExponent,
      constant: flag(0),
      array: !flag(1),
      relative: flag(2),
      wrap: flag(3),
      nonLinear: flag(4),
      noPreferredState: flag(5),
      nullState: flag(6),
      volatile: kind !== 'input' && flag(7),
      bufferedBytes: flag(8),
    })
    if (!added.ok) return added.error
    this.#fields++
    added.value.forEach(remark)
    return null
  }
}

const closed = ({ page, id, type, children }: Open): Collection => ({
  page,
  id,
  type,
  children: children.map(closed),
})
