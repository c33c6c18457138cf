import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DESCRIPTOR_FILE_BYTES, readDescriptorFile } from '../../../src/pad/descriptor/read-file.ts'
import { REAL_DESCRIPTORS } from './real-descriptors.ts'

const text = (words: string) => readDescriptorFile(new TextEncoder().encode(words))
const bytesOf = (words: string): number[] => {
  const read = text(words)
  if (!read.ok) throw new Error(`${read.error.place}: ${read.error.message}`)
  return [...read.value]
}

const two = (byte: number) => byte.toString(16).padStart(2, '0')
const WAYS: Record<string, (bytes: readonly number[]) => string> = {
  'pairs with blanks': (bytes) => bytes.map(two).join(' '),
  'one row': (bytes) => bytes.map(two).join(''),
  'capitals on lines': (bytes) => bytes.map((byte) => `${two(byte).toUpperCase()}\r\n`).join(''),
  '0x with commas': (bytes) => bytes.map((byte) => `0x${byte.toString(16)}`).join(', '),
  'escapes of a string': (bytes) => `"${bytes.map((byte) => `\\x${two(byte)}`).join('')}"`,
  'a C array': (bytes) =>
    `#include <stdint.h>\n/* all of it: 05 */\nstatic const uint8_t pad[${bytes.length}] = {\n${bytes.map((byte) => `  0x${two(byte).toUpperCase()}, // item ${byte}`).join('\n')}\n};\nint x = 5;`,
  'a list of Python': (bytes) =>
    `rdesc = [\n${bytes.map((byte) => `  0x${two(byte)},  # .Usage (X)`).join('\n')}\n]`,
}

describe('a report descriptor from a file', () => {
  it.each(Object.keys(WAYS))('is the same as %s', (way) => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 40 }), (bytes) => {
        expect(bytesOf(WAYS[way]?.([...bytes]) ?? '')).toEqual([...bytes])
      }),
    )
  })

  it('is taken as it is where it is no text', () => {
    for (const { bytes } of REAL_DESCRIPTORS) {
      const read = readDescriptorFile(bytes)
      expect(read.ok && [...read.value]).toEqual([...bytes])
    }
  })

  it('is no text as soon as one byte cannot be', () => {
    expect(readDescriptorFile(Uint8Array.of(0x05, 0x39, 0x30))).toEqual({
      ok: true,
      value: Uint8Array.of(0x05, 0x39, 0x30),
    })
  })

  it('may be text in UTF-16, as some editors write it, or with a mark before it', () => {
    expect(readDescriptorFile(Uint8Array.from(Buffer.from('\ufeff05 01', 'utf16le')))).toEqual({
      ok: true,
      value: Uint8Array.of(5, 1),
    })
    expect(bytesOf('\ufeff05 01')).toEqual([5, 1])
  })

  it('is refused with line and column where the text is not hexadecimal', () => {
    expect(text('05 01\n09 0g')).toEqual({
      ok: false,
      error: { place: 'line 2, column 4', message: expect.stringMatching(/^"0g" is not a byte/) },
    })
    expect(text('05 01 905')).toMatchObject({
      error: { place: 'line 1, column 7', message: expect.stringMatching(/odd number/) },
    })
    expect(text('0x05, 0x0109')).toMatchObject({
      error: { place: 'line 1, column 7', message: expect.stringMatching(/more than one byte/) },
    })
    expect(text('Dear reader')).toMatchObject({ error: { place: 'line 1, column 1' } })
    expect(text('// 05 01\n/* 09 */')).toMatchObject({
      error: { message: expect.stringMatching(/no bytes in it/) },
    })
    expect(text('')).toMatchObject({ error: { message: 'the file is empty' } })
  })

  it.each([
    // USB 2.0 tables 9-8, 9-10 and 9-12, HID 1.11 section 6.2.1; the numbers of vendor and product are invented.
    ['device', '12 01 00 02 00 00 00 40 34 12 78 56 00 01 01 02 00 01'],
    [
      'configuration',
      '09 02 22 00 01 01 00 80 32 09 04 00 00 01 03 00 00 00 09 21 11 01 00 01 22 3f 00 07 05 81 03 08 00 0a',
    ],
    ['HID', '09 21 11 01 00 01 22 3f 00'],
  ])('is told from the %s descriptor of a device, with what to get instead', (kind, words) => {
    expect(text(words)).toMatchObject({
      error: {
        message: expect.stringMatching(`the ${kind} descriptor of a USB device; get the report descriptor`),
      },
    })
  })

  it('may begin with a usage, as a configuration descriptor seems to', () => {
    expect(bytesOf('09 02 a1 01 05 01 09 30 15 00 25 7f 75 08 95 01 81 02 c0').length).toBe(19)
  })

  it('is refused where it is too large, by the file or by its bytes', () => {
    expect(readDescriptorFile(new Uint8Array(DESCRIPTOR_FILE_BYTES + 1))).toMatchObject({ ok: false })
    expect(readDescriptorFile(new Uint8Array(65_536))).toMatchObject({ ok: false })
    expect(text('00'.repeat(65_536))).toMatchObject({
      error: { message: expect.stringMatching(/65536 bytes/) },
    })
  })

  it('never throws', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), fc.string()), (words) => {
        const read = text(words)
        expect(read.ok || read.error.message !== '').toBe(true)
      }),
    )
  })
})
