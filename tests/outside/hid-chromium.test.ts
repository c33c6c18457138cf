import { describe, expect, it } from 'vitest'
import { parseReportDescriptor } from '../../src/pad/descriptor/parse.ts'
import type { ReportDescriptor } from '../../src/pad/descriptor/shape.ts'
import { realDescriptor } from '../pad/descriptor/real-descriptors.ts'

// Source: Chromium, services/device/public/cpp/hid/hid_report_descriptor_unittest.cc: what its parser, which WebHID uses, has to find in the same
// descriptors: are reports numbered, the longest input, output and feature report in bytes, the outermost collections with their numbers of reports.
type Collections = readonly (readonly [page: number, usage: number, reports: readonly number[]])[]
const EXPECTED: readonly (readonly [number, boolean, number, number, number, Collections])[] = [
  [1, true, 6, 0, 0, [[0x0d, 1, [1, 2, 3]]]],
  [2, false, 8, 1, 0, [[1, 6, []]]],
  [3, true, 0, 0, 243, [[0x80, 1, [1, 2, 3, 4, 5]]]],
  [4, false, 3, 0, 0, [[1, 2, []]]],
  [
    5,
    true,
    31,
    31,
    0,
    [
      [0xff00, 1, [0x10]],
      [0xff00, 2, [0x11]],
      [0xff00, 4, [0x20, 0x21]],
    ],
  ],
  [6, true, 48, 48, 48, [[1, 4, [1, 2, 0xee, 0xef]]]],
  [8, true, 15, 8, 0, [[1, 5, [1, 2, 3, 4]]]],
  [9, true, 63, 63, 0, [[1, 4, [0x30, 0x21, 0x81, 0x01, 0x10, 0x80, 0x82]]]],
  [11, false, 8, 1, 0, [[1, 6, []]]],
  [12, false, 4, 0, 0, [[1, 2, []]]],
  [13, false, 64, 64, 64, [[0xff00, 1, []]]],
  [14, false, 7, 4, 0, [[1, 4, []]]],
  [15, false, 8, 0, 0, [[1, 6, []]]],
  [16, false, 4, 1, 0, [[1, 2, []]]],
]

function parsed(bytes: Uint8Array): ReportDescriptor {
  const result = parseReportDescriptor(bytes)
  if (!result.ok) throw new Error(result.error.message)
  return result.value
}

describe('the parser behind WebHID and ours find the same', () => {
  it.each(EXPECTED)('in descriptor %i', (number, numbered, input, output, feature, collections) => {
    const { reports, ...rest } = parsed(realDescriptor(number))
    const longest = (kind: string) =>
      Math.max(0, ...reports.filter((report) => report.kind === kind).map(({ bits }) => Math.ceil(bits / 8)))
    expect([rest.numbered, longest('input'), longest('output'), longest('feature')]).toEqual([
      numbered,
      input,
      output,
      feature,
    ])
    expect(rest.collections.map(({ page, id }) => [page, id])).toEqual(
      collections.map(([page, id]) => [page, id]),
    )
    const numbers = new Set(reports.map(({ report }) => report).filter((report) => report > 0))
    expect([...numbers].sort((a, b) => a - b)).toEqual(
      collections.flatMap(([, , all]) => all).sort((a, b) => a - b),
    )
  })

  it('in the longest of them', () => {
    const { reports } = parsed(realDescriptor(7))
    const longest = (kind: string) =>
      Math.max(...reports.filter((report) => report.kind === kind).map(({ bits }) => bits / 8))
    expect([longest('input'), longest('output'), longest('feature')]).toEqual([63, 31, 63])
    expect(new Set(reports.map(({ report }) => report)).size).toBe(45)
  })

  // "ValidateCollections" of the same file, for the pad with signed usages, 16-bit sticks and 10-bit triggers.
  it('field by field', () => {
    const input = parsed(realDescriptor(8)).reports.find(
      ({ kind, report }) => kind === 'input' && report === 1,
    )
    const told = input?.items.map(
      ({ field, usages, logicalMin, logicalMax, physicalMax, unit, nullState }) => [
        field.bits,
        usages.map(({ page, first }) => page * 65536 + first)[0],
        logicalMin,
        logicalMax,
        physicalMax,
        unit,
        nullState,
      ],
    )
    const stick = (usage: number) => [16, 0x10000 + usage, 0, 0xffff, 0, 0, false]
    const trigger = (usage: number) => [10, 0x10000 + usage, 0, 1023, 0, 0, false]
    expect(told).toEqual([
      ...[0x30, 0x31, 0x33, 0x34].map(stick),
      ...[0x32, 0x35].map(trigger),
      [4, 0x10039, 1, 8, 315, 0x14, true],
      ...Array.from({ length: 10 }, (_, k) => [1, 0x90001 + k, 0, 1, 0, 0, false]),
    ])
  })

  it('of a report of 65 535 bytes, which is the longest', () => {
    expect(parsed(Uint8Array.of(0xa0, 0x96, 0xff, 0xff, 0x75, 0x08, 0x90, 0xc0)).reports[0]?.bits).toBe(
      8 * 65_535,
    )
    const longer = parseReportDescriptor(Uint8Array.of(0xa0, 0x97, 0, 0, 1, 0, 0x75, 0x08, 0x90, 0xc0))
    expect(longer.ok).toBe(false)
  })
})
