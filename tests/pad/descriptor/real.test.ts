import { readFileSync, readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import type { ReportShape } from '../../../src/pad/descriptor/shape.ts'
import { REAL_DESCRIPTORS, realDescriptor } from './real-descriptors.ts'

/** Lengths in bytes of all reports of a descriptor: `i1:5` is input report 1. */
function lengths(bytes: Uint8Array): string {
  const parsed = parseReportDescriptor(bytes)
  if (!parsed.ok) throw new Error(`byte ${parsed.error.byte}: ${parsed.error.message}`)
  return parsed.value.reports.map(({ kind, report, bits }) => `${kind[0]}${report}:${bits / 8}`).join(' ')
}

const four = (value: number) => value.toString(16).padStart(4, '0')

/** Bit of the first field of every usage, by page and usage. */
const placesOf = ({ items }: ReportShape) =>
  Object.fromEntries(
    items
      .filter(({ array }) => !array)
      .toReversed()
      .flatMap(({ usages, field }) =>
        usages.map(({ page, first }) => [`${four(page)}:${four(first)}`, field.bit]),
      ),
  )

describe('descriptors of devices in the field', () => {
  it.each(REAL_DESCRIPTORS)('$name is read, and its reports are whole bytes', ({ bytes }) => {
    // No device sends part of a byte: a slip in sizes, counts or padding would show here.
    expect(lengths(bytes)).not.toMatch(/\./)
  })

  it('are many, pads first, and each says where it was published', () => {
    const pads = REAL_DESCRIPTORS.filter(({ name }) => /-(pad|joystick)$/.test(name))
    expect(REAL_DESCRIPTORS.length).toBeGreaterThanOrEqual(128)
    expect(pads.length).toBeGreaterThanOrEqual(50)
    const folder = fileURLToPath(new URL('real/', import.meta.url))
    for (const file of readdirSync(folder)) {
      expect(readFileSync(`${folder}${file}`, 'utf8')).toMatch(
        /^# [A-Z][a-z ]+\. Source: [a-zA-Z][^\n]{15,}\n/,
      )
    }
  })

  it('are all different', () => {
    const texts = REAL_DESCRIPTORS.map(({ bytes }) => Buffer.from(bytes).toString('hex'))
    expect(new Set(texts).size).toBe(texts.length)
  })

  // What the sources of these files tell of the reports beside the bytes: places from the tests of a flight simulator (63, 64),
  // a host's report lengths without the number (62), a table of the report (49), a report from the wire without its number (40, 41).
  it.each([
    [63, 1, 25, { '0001:0039': 0, '0009:0001': 8, '0009:0080': 135, '0001:0030': 136, '0001:0036': 184 }],
    [64, 1, 63, { '0001:0030': 0, '0001:0035': 32, '0001:0036': 40, '0001:0039': 48, '0009:0001': 56 }],
    [62, 10, 63, {}],
    [49, 0, 12, { '0001:0039': 0, '0009:0001': 4, '0001:0030': 32, '0001:0032': 48, '0001:0031': 64 }],
    [40, 1, 63, { '0001:0033': 32, '0001:0039': 56, '0009:0001': 60, '0009:000f': 74 }],
    [41, 1, 9, { '0001:0039': 32, '0009:0001': 36, '0001:0033': 56, '0001:0034': 64 }],
  ])('file %i has its usages where its source tells', (file, number, length, places) => {
    const parsed = parseReportDescriptor(realDescriptor(file))
    const report =
      parsed.ok && parsed.value.reports.find((each) => each.kind === 'input' && each.report === number)
    if (report === false || report === undefined) throw new Error(`no input report ${number}`)
    expect(report.bits / 8).toBe(length)
    expect(placesOf(report)).toMatchObject(places)
  })

  it('are refused without their last byte', () => {
    for (const { name, bytes } of REAL_DESCRIPTORS.filter(({ bytes }) => bytes.at(-1) === 0xc0)) {
      expect(parseReportDescriptor(bytes.subarray(0, -1)), name).toMatchObject({
        ok: false,
        error: { byte: bytes.length - 1 },
      })
    }
  })
})
