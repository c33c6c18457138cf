import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { t } from './descriptor-texts.ts'
import { rangeFrom } from './numbers.ts'
import { Reports } from './reports.ts'
import type { MainItem } from './reports.ts'
import { DEEPEST_COLLECTION } from './parse.ts'
import type {
  Collection,
  DescriptorError,
  Remark,
  ReportDescriptor,
  ReportKind,
  Usage,
  UsageRange,
} from './shape.ts'

/** What a browser gives of a report descriptor: the part of WebHID's dictionaries that is read here, all of it optional there. */
export interface WebHidItem {
  readonly isAbsolute?: boolean | undefined
  readonly isArray?: boolean | undefined
  readonly isBufferedBytes?: boolean | undefined
  readonly isConstant?: boolean | undefined
  readonly isLinear?: boolean | undefined
  readonly isRange?: boolean | undefined
  readonly isVolatile?: boolean | undefined
  readonly hasNull?: boolean | undefined
  readonly hasPreferredState?: boolean | undefined
  readonly wrap?: boolean | undefined
  readonly usages?: readonly number[] | undefined
  readonly usageMinimum?: number | undefined
  readonly usageMaximum?: number | undefined
  readonly reportSize?: number | undefined
  readonly reportCount?: number | undefined
  readonly unitExponent?: number | undefined
  readonly unitSystem?: string | undefined
  readonly unitFactorLengthExponent?: number | undefined
  readonly unitFactorMassExponent?: number | undefined
  readonly unitFactorTimeExponent?: number | undefined
  readonly unitFactorTemperatureExponent?: number | undefined
  readonly unitFactorCurrentExponent?: number | undefined
  readonly unitFactorLuminousIntensityExponent?: number | undefined
  readonly logicalMinimum?: number | undefined
  readonly logicalMaximum?: number | undefined
  readonly physicalMinimum?: number | undefined
  readonly physicalMaximum?: number | undefined
}

export interface WebHidReport {
  readonly reportId?: number | undefined
  readonly items?: readonly WebHidItem[] | undefined
}

export interface WebHidCollection {
  readonly usagePage?: number | undefined
  readonly usage?: number | undefined
  readonly type?: number | undefined
  readonly children?: readonly WebHidCollection[] | undefined
  readonly inputReports?: readonly WebHidReport[] | undefined
  readonly outputReports?: readonly WebHidReport[] | undefined
  readonly featureReports?: readonly WebHidReport[] | undefined
}

/**
 * The descriptor behind the collections of a WebHID device, in the shape that the parser gives. An outermost collection lists the items of
 * all that is in it, in their order, so only those are read. What a browser does not hand on is lost: outermost collections that it protects (a keyboard, a mouse), usages beside a
 * range in one item, and how long a maximum was that is to be taken without sign (it is taken as long as the field).
 */
export function descriptorFromWebHid(
  collections: readonly WebHidCollection[],
): Result<ReportDescriptor, DescriptorError> {
  const reports = new Reports()
  const remarks: Remark[] = []
  const remark = (message: string) => void remarks.push({ byte: null, message })
  let numbered = false
  for (const collection of collections) {
    const application = usageOf(collection)
    const lists: readonly (readonly [ReportKind, readonly WebHidReport[] | undefined])[] = [
      ['input', collection.inputReports],
      ['output', collection.outputReports],
      ['feature', collection.featureReports],
    ]
    for (const [kind, list = []] of lists) {
      for (const { reportId = 0, items = [] } of list) {
        if (reportId !== 0) numbered = true
        for (const item of items) {
          const { main, odd } = mainItem(item, kind, reportId, application)
          if (odd !== null && !main.constant) remark(odd)
          const added = reports.add(main)
          if (!added.ok) return err({ byte: 0, message: added.error })
          added.value.forEach(remark)
        }
      }
    }
  }
  const shapes = reports.shapes
  if (shapes.length === 0) {
    return err({
      byte: 0,
      message: t.hiddenByBrowser,
    })
  }
  return ok({ numbered, reports: shapes, collections: collections.map((each) => closed(each, 1)), remarks })
}

const usageOf = ({ usagePage = 0, usage = 0 }: WebHidCollection): Usage => ({ page: usagePage, id: usage })

const closed = (collection: WebHidCollection, depth: number): Collection => ({
  ...usageOf(collection),
  type: collection.type ?? 0,
  children:
    depth < DEEPEST_COLLECTION ? (collection.children ?? []).map((child) => closed(child, depth + 1)) : [],
})

function mainItem(
  item: WebHidItem,
  kind: ReportKind,
  report: number,
  application: Usage,
): { main: MainItem; odd: string | null } {
  const size = item.reportSize ?? 0
  const range = (min = 0, max = 0) => rangeFrom(given(min, size), given(max, size), size)
  const logical = range(item.logicalMinimum, item.logicalMaximum)
  const physical = range(item.physicalMinimum, item.physicalMaximum)
  return {
    odd: logical.odd,
    main: {
      kind,
      report,
      size,
      count: item.reportCount ?? 0,
      usages: usagesOf(item),
      application,
      logicalMin: logical.min,
      logicalMax: logical.max,
      physicalMin: physical.min,
      physicalMax: physical.max,
      unit: unitOf(item),
      unitExponent: item.unitExponent ?? 0,
      array: item.isArray ?? false,
      constant: item.isConstant ?? false,
      relative: item.isAbsolute === false,
      wrap: item.wrap ?? false,
      nonLinear: item.isLinear === false,
      noPreferredState: item.hasPreferredState === false,
      nullState: item.hasNull ?? false,
      volatile: kind !== 'input' && (item.isVolatile ?? false),
      bufferedBytes: item.isBufferedBytes ?? false,
    },
  }
}

/** A number that has lost its length, with that of the field in its place. */
const given = (value: number, bits: number) => ({
  signed: value,
  unsigned: value >= 0 ? value : value + 2 ** Math.min(32, Math.max(8, Math.ceil(bits / 8) * 8)),
})

/** A usage of WebHID has its page in the upper 16 bits. */
function usagesOf({ isRange, usages = [], usageMinimum = 0, usageMaximum = 0 }: WebHidItem): UsageRange[] {
  if (isRange !== true) {
    return usages.map((usage) => ({ page: usage >>> 16, first: usage & 0xffff, last: usage & 0xffff }))
  }
  if (usageMaximum < usageMinimum) return []
  return [{ page: usageMinimum >>> 16, first: usageMinimum & 0xffff, last: usageMaximum & 0xffff }]
}

/** The systems of units in the order of their numbers (HID 1.11 section 6.2.2.7). */
const SYSTEMS = ['none', 'si-linear', 'si-rotation', 'english-linear', 'english-rotation']

function unitOf(item: WebHidItem): number {
  const system = SYSTEMS.indexOf(item.unitSystem ?? 'none')
  const exponents = [
    item.unitFactorLengthExponent,
    item.unitFactorMassExponent,
    item.unitFactorTimeExponent,
    item.unitFactorTemperatureExponent,
    item.unitFactorCurrentExponent,
    item.unitFactorLuminousIntensityExponent,
  ]
  return exponents.reduce<number>(
    (unit, exponent = 0, k) => (unit | ((exponent & 15) << (4 * (k + 1)))) >>> 0,
    Math.max(0, system),
  )
}
