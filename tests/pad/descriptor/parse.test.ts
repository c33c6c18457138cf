import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  DEEPEST_COLLECTION,
  MOST_DESCRIPTOR_BYTES,
  parseReportDescriptor,
} from '../../../src/pad/descriptor/parse.ts'
import { MOST_FIELDS } from '../../../src/pad/descriptor/reports.ts'
import type { ReportDescriptor } from '../../../src/pad/descriptor/shape.ts'
import { usageAt, usageCount } from '../../../src/pad/descriptor/shape.ts'
import { arbDevice, descriptorOf, fieldsOf } from './generated.ts'
import { draws } from '../../draws.ts'

const bytes = (hex: string): Uint8Array =>
  Uint8Array.from(hex.match(/[\da-f]{2}/gi) ?? [], (pair) => parseInt(pair, 16))

function parsed(hex: string): ReportDescriptor {
  const result = parseReportDescriptor(bytes(hex))
  if (!result.ok) throw new Error(`byte ${result.error.byte}: ${result.error.message}`)
  return result.value
}

const refused = (hex: string) => {
  const result = parseReportDescriptor(bytes(hex))
  if (result.ok) throw new Error('taken')
  return result.error
}

/** Within a gamepad. */
const pad = (inside: string): string => `05 01 09 05 a1 01 ${inside} c0`
const items = (inside: string) => parsed(pad(inside)).reports.flatMap((report) => report.items)
const remarks = (hex: string): string[] => parsed(hex).remarks.map(({ message }) => message)

describe('a report descriptor', () => {
  it('is what its maker thought of, field by field', () => {
    fc.assert(
      fc.property(arbDevice, fc.boolean(), (device, wide) => {
        const { reports, numbered } = (() => {
          const result = parseReportDescriptor(descriptorOf(device, wide))
          if (!result.ok) throw new Error(result.error.message)
          return result.value
        })()
        const all = fieldsOf(device)
        expect(numbered).toBe(all[0]?.made.report !== 0)
        // Every field by itself, laid one behind the other in its report.
        const lengths = new Map<string, number>()
        const wanted: string[] = []
        for (const { made, top } of all) {
          const key = `${made.kind} ${made.report}`
          const array = (made.flags & 2) === 0
          const list = made.range
            ? Array.from(
                { length: (made.usages[1] ?? 0) - (made.usages[0] ?? 0) + 1 },
                (_, k) => (made.usages[0] ?? 0) + k,
              )
            : made.usages
          for (let k = 0; k < made.count; k++) {
            const bit = lengths.get(key) ?? 0
            lengths.set(key, bit + made.size)
            if ((made.flags & 1) === 1 && list.length === 0) continue
            const usages = array ? list : list.slice(Math.min(k, list.length - 1)).slice(0, 1)
            wanted.push(
              `${key} bit ${bit} ${made.size} ${made.logical} ${made.physical} ${made.flags & (made.kind === 'input' ? 0x17f : 0x1ff)} ${made.unit} ${made.exponent} ${top.page}:${top.usage} ${usages.map((id) => `${made.page}:${id}`)}`,
            )
          }
        }
        const got = reports.flatMap((report) =>
          report.items.flatMap((item) =>
            Array.from({ length: item.count }, (_, k) => {
              const flags =
                Number(item.constant) |
                (Number(!item.array) << 1) |
                (Number(item.relative) << 2) |
                (Number(item.wrap) << 3) |
                (Number(item.nonLinear) << 4) |
                (Number(item.noPreferredState) << 5) |
                (Number(item.nullState) << 6) |
                (Number(item.volatile) << 7) |
                (Number(item.bufferedBytes) << 8)
              const usages = Array.from({ length: usageCount(item.usages) }, (_, place) => {
                const usage = usageAt(item.usages, place)
                return `${usage?.page}:${usage?.id}`
              })
              expect(item.field.signed).toBe(item.logicalMin < 0)
              expect(item.field.report).toBe(report.report)
              return `${report.kind} ${report.report} bit ${item.field.bit + k * item.field.bits} ${item.field.bits} ${[item.logicalMin, item.logicalMax]} ${[item.physicalMin, item.physicalMax]} ${flags} ${item.unit} ${item.unitExponent} ${item.application?.page}:${item.application?.id} ${usages}`
            }),
          ),
        )
        expect(got.sort()).toEqual(wanted.sort())
        for (const { kind, report, bits } of reports) expect(bits).toBe(lengths.get(`${kind} ${report}`))
        expect(reports).toHaveLength(lengths.size)
      }),
      { numRuns: draws(120) },
    )
  })

  it('reads data of 0, 1, 2 and 4 bytes, with sign and without', () => {
    expect(items('75 08 95 01 14 26 ff 00 09 30 81 02')[0]).toMatchObject({ logicalMin: 0, logicalMax: 255 })
    expect(items('75 08 95 01 15 81 25 7f 09 30 81 02')[0]).toMatchObject({
      logicalMin: -127,
      logicalMax: 127,
    })
    expect(items('75 10 95 01 16 00 80 26 ff 7f 09 30 81 02')[0]).toMatchObject({
      logicalMin: -32_768,
      logicalMax: 32_767,
      field: { signed: true },
    })
    expect(items('75 20 95 01 17 00 00 00 80 27 ff ff ff 7f 09 30 81 02')[0]).toMatchObject({
      logicalMin: -(2 ** 31),
      logicalMax: 2 ** 31 - 1,
      field: { bits: 32 },
    })
  })

  it('takes a maximum that reads negative without sign, and says so', () => {
    for (const [told, max] of [
      ['25 ff', 255],
      ['26 ff ff', 65_535],
      ['27 ff ff ff ff', 2 ** 32 - 1],
    ] as const) {
      const hex = pad(`75 20 95 01 15 00 ${told} 09 30 81 02`)
      expect(parsed(hex).reports[0]?.items[0]).toMatchObject({ logicalMin: 0, logicalMax: max })
      expect(remarks(hex)).toEqual([expect.stringMatching(/without sign/)])
    }
  })

  it('takes a range that is upside down for all values of the field', () => {
    const hex = pad('75 08 95 01 15 05 25 03 09 30 81 02')
    expect(parsed(hex).reports[0]?.items[0]).toMatchObject({ logicalMin: 0, logicalMax: 255 })
    expect(remarks(hex)).toEqual([expect.stringMatching(/upside down/)])
  })

  it('gives short usages the page that counts at the main item, and long ones their own', () => {
    // HID 1.11 section 6.2.2.8.
    const [x, brake] = items('09 30 0b c5 00 02 00 05 09 75 08 95 02 25 7f 81 02')
    expect(x?.usages).toEqual([{ page: 9, first: 0x30, last: 0x30 }])
    expect(brake?.usages).toEqual([{ page: 2, first: 0xc5, last: 0xc5 }])
    expect(
      items('1b 01 00 09 00 2b 03 00 09 00 75 01 95 03 25 01 81 02').map(({ usages }) => usages[0]?.first),
    ).toEqual([1, 2, 3])
  })

  it('leaves a usage the page that stood when it was given, where the page changes between usages', () => {
    const usages = items('09 30 05 09 09 01 05 0c 0a 24 02 75 08 95 03 25 7f 81 02').map(
      ({ usages }) => usages[0],
    )
    expect(usages.map((usage) => [usage?.page, usage?.first])).toEqual([
      [1, 0x30],
      [9, 1],
      [0x0c, 0x224],
    ])
  })

  it('gives the last usage to all fields that are left', () => {
    const [first, rest] = items('05 09 19 01 29 02 75 01 95 08 25 01 81 02')
    expect(first).toMatchObject({ count: 1, field: { bit: 0 }, usages: [{ first: 1 }] })
    expect(rest).toMatchObject({ count: 7, field: { bit: 1 }, usages: [{ first: 2 }] })
  })

  it('keeps an array whole, with what its values stand for', () => {
    const [array] = items('05 09 19 01 29 10 15 01 25 10 75 05 95 03 81 40')
    expect(array).toMatchObject({ array: true, nullState: true, count: 3, logicalMin: 1 })
    expect(usageAt(array?.usages ?? [], 15)).toEqual({ page: 9, id: 16 })
    expect(usageAt(array?.usages ?? [], 16)).toBeUndefined()
  })

  it('takes the first of several alternatives', () => {
    // HID 1.11 section 6.2.2.8: the first usage of a delimited set is the most preferred.
    const [one, other] = items('a9 01 09 30 09 38 a9 00 09 31 75 08 95 02 25 7f 81 02')
    expect(one?.usages).toEqual([{ page: 1, first: 0x30, last: 0x30 }])
    expect(other?.usages).toEqual([{ page: 1, first: 0x31, last: 0x31 }])
    expect(remarks(pad('a9 01 09 30 75 08 95 01 25 7f 81 02'))).toEqual([
      expect.stringMatching(/does not end/),
    ])
  })

  it('brings everything global back with a pop, but for the number of the report', () => {
    const { reports } = parsed(
      pad('85 01 75 08 95 01 25 7f a4 85 02 75 04 95 02 25 03 05 09 19 01 29 02 81 02 b4 09 30 81 02'),
    )
    expect(reports.map(({ report, bits }) => [report, bits])).toEqual([[2, 16]])
    expect(reports[0]?.items[2]?.usages).toEqual([{ page: 1, first: 0x30, last: 0x30 }])
  })

  it('passes over long items, reserved items and what has no meaning here, and goes on', () => {
    const hex = pad('fe 03 f0 aa bb cc 75 08 95 01 25 7f 39 01 79 01 0c 09 30 81 02 fd')
    const { reports, remarks: said } = parsed(`${hex.replace(' fd', '')} 00`)
    expect(reports[0]?.bits).toBe(8)
    expect(said.map(({ byte, message }) => [byte, message.split(' ').slice(0, 3).join(' ')])).toEqual([
      [6, 'a long item'],
      [22, 'a reserved item'],
      [28, 'a reserved item'],
    ])
  })

  it('remarks what one can live with', () => {
    expect(remarks(`${pad('75 08 95 01 25 7f 09 30 81 02')} c0`)).toEqual([
      expect.stringMatching(/never began/),
    ])
    expect(remarks(pad('b4 75 08 95 01 25 7f 09 30 81 02'))).toEqual([
      expect.stringMatching(/nothing pushed/),
    ])
    expect(remarks('05 01 09 30 75 08 95 01 25 7f 81 02')).toEqual([
      expect.stringMatching(/outside of every/),
    ])
    expect(remarks(pad('85 00 75 08 95 01 25 7f 09 30 81 02'))).toEqual([expect.stringMatching(/reserved/)])
    expect(remarks(pad('75 08 95 01 25 7f 09 30 81 02 85 01 09 31 81 02'))).toEqual([
      expect.stringMatching(/before the first number/),
    ])
    expect(remarks(pad('19 05 75 08 95 01 25 7f 81 02'))).toEqual([expect.stringMatching(/stands alone/)])
    expect(remarks(pad('19 05 29 04 75 08 95 01 25 7f 81 02'))).toEqual([expect.stringMatching(/are none/)])
    expect(remarks(pad('75 00 95 01 81 03 75 08 25 7f 09 30 81 02'))).toEqual([
      expect.stringMatching(/no field/),
    ])
    expect(remarks(pad('75 04 95 01 25 7f 09 30 81 02'))).toEqual([expect.stringMatching(/do not fit/)])
    const wide = pad('75 40 95 01 25 01 09 30 81 02 75 08 09 31 81 02')
    expect(remarks(wide)).toEqual([expect.stringMatching(/64 bits is left out/)])
    expect(parsed(wide).reports[0]).toMatchObject({ bits: 72, items: [{ field: { bit: 64 } }] })
  })

  it('has no items for padding', () => {
    expect(parsed(pad('75 05 95 01 81 03 75 03 09 30 25 07 81 02')).reports[0]).toMatchObject({
      bits: 8,
      items: [{ field: { bit: 5, bits: 3 } }],
    })
  })

  it('tells its collections as a tree', () => {
    expect(
      parsed('05 01 09 04 a1 01 09 01 a1 00 09 30 75 08 95 01 25 7f 81 02 c0 a1 02 c0 c0').collections,
    ).toEqual([
      {
        page: 1,
        id: 4,
        type: 1,
        children: [
          { page: 1, id: 1, type: 0, children: [] },
          { page: 0, id: 0, type: 2, children: [] },
        ],
      },
    ])
  })
})

describe('a descriptor that cannot be', () => {
  it('is refused at the item that is cut', () => {
    expect(refused('05 01 09 05 a1 01 26 ff')).toEqual({
      byte: 6,
      message: expect.stringMatching(/3 bytes, of which 2 came/),
    })
    expect(refused('05 01 fe 05 01 aa')).toEqual({
      byte: 2,
      message: expect.stringMatching(/8 bytes, of which 4 came/),
    })
    expect(refused('05 01 fe')).toMatchObject({ byte: 2 })
  })

  it('is refused where a collection does not end', () => {
    expect(refused('05 01 09 05 a1 01 a1 00 09 30 75 08 95 01 81 02')).toEqual({
      byte: 16,
      message: expect.stringMatching(/begins at byte 6, and 1 around it/),
    })
  })

  it('is refused where collections nest without end', () => {
    const deep = (depth: number) =>
      `${'a1 00'.repeat(depth)} 09 30 75 08 95 01 25 7f 81 02 ${'c0'.repeat(depth)}`
    expect(parseReportDescriptor(bytes(deep(DEEPEST_COLLECTION))).ok).toBe(true)
    expect(refused(deep(DEEPEST_COLLECTION + 1))).toEqual({
      byte: 2 * DEEPEST_COLLECTION,
      message: expect.stringMatching(/32 deep/),
    })
  })

  it('is refused where a report is longer than can be sent, at once and by and by', () => {
    expect(refused(pad('77 ff ff ff ff 97 ff ff ff ff 09 30 81 02'))).toEqual({
      byte: 18,
      message: expect.stringMatching(/65535 at most/),
    })
    expect(parsed(pad('75 08 96 ff ff 09 30 81 02')).reports[0]?.bits).toBe(8 * 65_535)
    expect(refused(pad('75 08 96 ff ff 09 30 81 02 95 01 75 01 81 02'))).toMatchObject({ byte: 19 })
  })

  it('is refused where it tells more fields apart than any device has', () => {
    const apart = (fields: number) =>
      pad(
        `1a 00 00 2a ff ff 75 01 25 01 96 ${(fields & 255).toString(16).padStart(2, '0')} ${(fields >> 8).toString(16).padStart(2, '0')} 81 02`,
      )
    expect(parsed(apart(MOST_FIELDS)).reports[0]?.items).toHaveLength(MOST_FIELDS)
    expect(refused(apart(MOST_FIELDS + 1)).message).toMatch(/usage of their own/)
  })

  it('is refused where it is empty, too long, or without a field', () => {
    expect(refused('').message).toMatch(/is empty/)
    expect(refused('05 01 09 05 a1 01 c0').message).toMatch(/no field/)
    expect(refused(pad('86 00 01 75 08 95 01 81 02'))).toEqual({
      byte: 6,
      message: expect.stringMatching(/1 to 255; this is 256/),
    })
    const long = parseReportDescriptor(new Uint8Array(MOST_DESCRIPTOR_BYTES + 1))
    expect(long).toMatchObject({ ok: false, error: { message: expect.stringMatching(/at most/) } })
  })
})
