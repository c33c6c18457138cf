import { describe, expect, it } from 'vitest'
import { parseReportDescriptor } from '../../src/pad/descriptor/parse.ts'
import type { ReportItem, ReportShape } from '../../src/pad/descriptor/shape.ts'
import { usagesInWords } from '../../src/pad/descriptor/usage-names.ts'

// Source: USB Device Class Definition for Human Interface Devices 1.11: the boot keyboard of appendix B.1 (and E.6), the boot mouse of appendix B.2 (and
// E.10). The bytes were looked up in what others publish of them.
const BOOT_KEYBOARD =
  '05 01 09 06 a1 01 05 07 19 e0 29 e7 15 00 25 01 75 01 95 08 81 02 95 01 75 08 81 01 95 05 75 01 05 08 19 01 29 05 91 02 ' +
  '95 01 75 03 91 01 95 06 75 08 15 00 25 65 05 07 19 00 29 65 81 00 c0'
const BOOT_MOUSE =
  '05 01 09 02 a1 01 09 01 a1 00 05 09 19 01 29 03 15 00 25 01 95 03 75 01 81 02 95 01 75 05 81 01 05 01 09 30 09 31 15 81 25 7f ' +
  '75 08 95 02 81 06 c0 c0'

function reports(hex: string): readonly ReportShape[] {
  const result = parseReportDescriptor(Uint8Array.from(hex.split(' '), (pair) => parseInt(pair, 16)))
  if (!result.ok) throw new Error(result.error.message)
  expect(result.value.remarks).toEqual([])
  expect(result.value.numbered).toBe(false)
  return result.value.reports
}
const row = ({ field, count, array, relative, usages }: ReportItem) => [
  field.bit,
  field.bits,
  count,
  array ? 'array' : relative ? 'relative' : 'value',
  usagesInWords(usages),
]

describe('the examples of HID 1.11', () => {
  it('the boot keyboard: a byte of modifiers, a reserved one, six keys; five lights', () => {
    const [input, output, ...rest] = reports(BOOT_KEYBOARD)
    expect(rest).toEqual([])
    expect([input?.kind, input?.bits, output?.kind, output?.bits]).toEqual(['input', 64, 'output', 8])
    expect(input?.items.slice(0, 8).map(row)).toEqual(
      [
        'LeftControl',
        'LeftShift',
        'LeftAlt',
        'Left GUI',
        'RightControl',
        'RightShift',
        'RightAlt',
        'Right GUI',
      ].map((key, bit) => [bit, 1, 1, 'value', `Keyboard ${key}`]),
    )
    expect(input?.items[8]).toMatchObject({
      field: { bit: 16, bits: 8 },
      count: 6,
      array: true,
      logicalMin: 0,
      logicalMax: 0x65,
      usages: [{ page: 7, first: 0, last: 0x65 }],
    })
    expect(output?.items.map(row)).toEqual(
      ['Num Lock', 'Caps Lock', 'Scroll Lock', 'Compose', 'Kana'].map((light, bit) => [
        bit,
        1,
        1,
        'value',
        light,
      ]),
    )
  })

  it('the boot mouse: three buttons, then how far it went in X and Y', () => {
    const [input, ...rest] = reports(BOOT_MOUSE)
    expect(rest).toEqual([])
    expect([input?.kind, input?.bits]).toEqual(['input', 24])
    expect(input?.items.map(row)).toEqual([
      [0, 1, 1, 'value', 'Button 1'],
      [1, 1, 1, 'value', 'Button 2'],
      [2, 1, 1, 'value', 'Button 3'],
      [8, 8, 1, 'relative', 'X'],
      [16, 8, 1, 'relative', 'Y'],
    ])
    expect(input?.items[3]).toMatchObject({ logicalMin: -127, logicalMax: 127, field: { signed: true } })
  })
})
