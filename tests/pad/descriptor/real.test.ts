import { readFileSync, readdirSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { REAL_DESCRIPTORS } from './real-descriptors.ts'

/** Lengths in bytes of all reports of a descriptor: `i1:5` is input report 1. */
function lengths(bytes: Uint8Array): string {
  const parsed = parseReportDescriptor(bytes)
  if (!parsed.ok) throw new Error(`byte ${parsed.error.byte}: ${parsed.error.message}`)
  return parsed.value.reports.map(({ kind, report, bits }) => `${kind[0]}${report}:${bits / 8}`).join(' ')
}

describe('descriptors of devices in the field', () => {
  it.each(REAL_DESCRIPTORS)('$name is read, and its reports are whole bytes', ({ bytes }) => {
    // No device sends part of a byte: a slip in sizes, counts or padding would show here.
    expect(lengths(bytes)).not.toMatch(/\./)
  })

  it('are many, pads first, and each says where it was published', () => {
    const pads = REAL_DESCRIPTORS.filter(({ name }) => /-(pad|joystick)$/.test(name))
    expect(REAL_DESCRIPTORS.length).toBeGreaterThanOrEqual(39)
    expect(pads.length).toBeGreaterThanOrEqual(18)
    const folder = fileURLToPath(new URL('real/', import.meta.url))
    for (const file of readdirSync(folder)) {
      expect(readFileSync(`${folder}${file}`, 'utf8')).toMatch(
        /^# [A-Z][a-z ]+\. Source: (Linux|Chromium|Android)[^\n]*\n/,
      )
    }
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
