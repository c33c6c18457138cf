import { describe, expect, it } from 'vitest'
import * as v from 'valibot'
import { LayoutSchema } from '../../../src/pad/layout/schema.ts'
import { guessLayout } from '../../../src/pad/descriptor/guess-layout.ts'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { MOST_FIELDS, MOST_REPORT_BYTES } from '../../../src/pad/descriptor/reports.ts'
import type { ReportDescriptor } from '../../../src/pad/descriptor/shape.ts'
import { REAL_DESCRIPTORS } from './real-descriptors.ts'

/** The generator of Park and Miller (1988): the same descriptors at each run. */
function numbers(seed: number): (below: number) => number {
  let state = seed
  return (below) => {
    state = (state * 48_271) % 0x7fff_ffff
    return state % below
  }
}

const PREFIXES = [
  0x05, 0x06, 0x07, 0x09, 0x0a, 0x0b, 0x14, 0x15, 0x16, 0x17, 0x19, 0x1b, 0x25, 0x26, 0x27, 0x29, 0x2a, 0x2b,
  0x35, 0x45, 0x55, 0x65, 0x75, 0x76, 0x77, 0x80, 0x81, 0x82, 0x85, 0x91, 0x95, 0x96, 0x97, 0xa0, 0xa1, 0xa4,
  0xa9, 0xb1, 0xb4, 0xc0, 0xfe,
]

/** A descriptor that somebody broke, or that nobody made. */
function broken(below: (most: number) => number): Uint8Array {
  const how = below(4)
  if (how === 0) {
    // Items that are sound each by itself, or nearly so.
    const bytes: number[] = [0xa1, 0x01]
    for (let left = below(60); left > 0; left--) {
      const prefix = PREFIXES[below(PREFIXES.length)] ?? 0
      const size = (prefix & 3) === 3 ? 4 : prefix & 3
      bytes.push(prefix, ...Array.from({ length: size }, () => (below(3) === 0 ? below(256) : below(12))))
    }
    return Uint8Array.from([...bytes, ...(below(2) === 0 ? [] : [0x81, 0x02, 0xc0])])
  }
  if (how === 1) return Uint8Array.from({ length: below(80) }, () => below(256))
  const real = (REAL_DESCRIPTORS[below(REAL_DESCRIPTORS.length)]?.bytes ?? new Uint8Array()).slice(0, 220)
  if (how === 2) {
    const bytes = real.slice()
    for (let left = 1 + below(6); left > 0; left--) bytes[below(bytes.length)] = below(256)
    return bytes
  }
  const [from, to] = [below(real.length), below(real.length)]
  return Uint8Array.from([...real.slice(0, from), ...real.slice(to)])
}

/** Throws where a descriptor that was taken contradicts itself. Plain comparisons: this runs a hundred thousand times. */
function checkSound({ reports, numbered, remarks }: ReportDescriptor, length: number): void {
  const must = (holds: boolean, what: string) => {
    if (!holds) throw new Error(what)
  }
  let items = 0
  must(
    new Set(reports.map(({ kind, report }) => `${kind} ${report}`)).size === reports.length,
    'a report twice',
  )
  for (const report of reports) {
    must(report.bits > 0 && report.bits <= MOST_REPORT_BYTES * 8, 'length of a report')
    must(report.report >= 0 && report.report <= 255, 'number of a report')
    must(numbered || report.report === 0, 'a number where there is none')
    let end = 0
    for (const { field, count, usages, array, logicalMin, logicalMax } of report.items) {
      items++
      must(field.report === report.report, 'a field of another report')
      must(field.bits >= 1 && field.bits <= 32 && count >= 1, 'size of a field')
      must(field.bit >= end, 'fields overlap')
      end = field.bit + field.bits * count
      must(end <= report.bits, 'a field beyond the end of its report')
      must(array || usages.length <= 1, 'several usages of one value')
      must(array || usages.every(({ first, last }) => first === last), 'a range of usages of one value')
      must(
        usages.every(({ page, first, last }) => page <= 0xffff && first <= last && last <= 0xffff),
        'usages',
      )
      must(logicalMin <= logicalMax && field.signed === logicalMin < 0, 'range')
      must(logicalMin >= -(2 ** 31) && logicalMax < 2 ** 32, 'range of 32 bits')
    }
  }
  must(items <= MOST_FIELDS + length, 'more items than there can be')
  must(remarks.length <= 4 * length, 'more remarks than there are items')
  must(
    remarks.every(({ byte }) => byte !== null && byte >= 0 && byte < length),
    'place of a remark',
  )
}

describe('100 000 descriptors that are broken or made up', () => {
  it('are refused with a place and a sentence, or give something sound; and so does what is guessed from them', () => {
    const below = numbers(20_260)
    let taken = 0
    let layouts = 0
    for (let k = 0; k < 100_000; k++) {
      const bytes = broken(below)
      const result = parseReportDescriptor(bytes)
      if (!result.ok) {
        const { byte, message } = result.error
        if (byte < 0 || byte > bytes.length || message === '') throw new Error(`${byte}: ${message}`)
        continue
      }
      taken++
      checkSound(result.value, bytes.length)
      if (k % 10 !== 0) continue
      const { layout, guessed } = guessLayout(result.value, {
        via: 'hid',
        vendorId: 1,
        productId: 2,
        descriptorCrc32: null,
      })
      if (layout === null) continue
      layouts++
      const checked = v.safeParse(LayoutSchema, layout)
      if (!checked.success)
        throw new Error(`${Buffer.from(bytes).toString('hex')}: ${checked.issues[0].message}`)
      if (guessed.length !== layout.extractors.length) throw new Error('a guess without an extractor')
    }
    expect(taken).toBeGreaterThan(10_000)
    expect(layouts).toBeGreaterThan(200)
  })
})
