import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CaptureReader } from './capture-reader.ts'
import { readVcd } from './read-vcd.ts'
import { bytesOf, cutAt, dumpText } from './arbitrary.ts'
import { draws } from '../../draws.ts'

/** Ten thousand files in all. A hang would end in the time-out of the test. */

/** The reader has an answer, and a refusal is a sentence with a line of the file. */
function answers(bytes: Uint8Array, signal?: string): void {
  const result = readVcd(bytes, signal === undefined ? {} : { signal })
  if (result.ok) {
    const { timesNs, values, startNs, endNs } = result.value
    expect(timesNs.length).toBe(values.length)
    const times = [startNs, ...timesNs, endNs]
    expect(times.every(Number.isSafeInteger)).toBe(true)
    expect(times).toEqual([...times].sort((a, b) => a - b))
    return
  }
  const { line, message } = result.error
  const lines = bytes.reduce((count, byte) => count + (byte === 10 ? 1 : 0), 1)
  expect(line).toBeGreaterThanOrEqual(1)
  expect(line).toBeLessThanOrEqual(lines)
  expect(message).toMatch(/^[^\n]+\.$/)
}

const word = fc.constantFrom(
  ...[
    '$date',
    '$timescale',
    '$scope',
    '$upscope',
    '$var',
    '$enddefinitions',
    '$dumpvars',
    '$dumpoff',
    '$comment',
  ],
  ...[
    '$end',
    '$end',
    '$end',
    '$',
    '$dumpports',
    '#',
    '#0',
    '#7',
    '#18446744073709551616',
    '#x',
    '1 ns',
    '10fs',
  ],
  ...[
    'module',
    'wire',
    '1',
    '8',
    '!',
    '"',
    'select',
    'select [0]',
    '[',
    ']',
    '0!',
    '1!',
    'xs',
    'b1 !',
    'b',
    'r1 "',
  ],
  ...['wire 1 ! select', 'timescale', '\n', '\ufeff', '\u{1f3ee}', '\0', '\\a b'],
)
const words = fc.array(word, { maxLength: 40 }).map((said) => bytesOf(said.join(' ')))

describe('the reader always answers', () => {
  it('random bytes', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 400 }), fc.string(), answers), { numRuns: draws(2000) })
  })

  it('words of the format in any order, after no header and after a good one', () => {
    const header = bytesOf('$timescale 1ns $end $var wire 1 ! select $end $enddefinitions $end\n')
    fc.assert(
      fc.property(words, fc.boolean(), (said, headed) =>
        answers(headed ? Buffer.concat([header, said]) : said),
      ),
      { numRuns: draws(3000) },
    )
  })

  it('good files with bytes changed', () => {
    const damage = fc.array(fc.record({ at: fc.nat(), byte: fc.nat(255) }), { minLength: 1, maxLength: 5 })
    fc.assert(
      fc.property(dumpText, damage, ({ text }, damages) => {
        const bytes = bytesOf(text)
        for (const { at, byte } of damages) bytes[at % bytes.length] = byte
        answers(bytes)
      }),
      { numRuns: draws(2000) },
    )
  })

  it('good files with pieces taken out, doubled and swapped', () => {
    const pieces = fc.array(fc.nat(8), { maxLength: 12 })
    fc.assert(
      fc.property(dumpText, fc.array(fc.nat(5000), { maxLength: 8 }), pieces, ({ text }, places, order) => {
        const parts = cutAt(bytesOf(text), places)
        answers(Buffer.concat(order.map((k) => parts[k % parts.length] ?? new Uint8Array())))
      }),
      { numRuns: draws(2000) },
    )
  })

  it('good files cut off, in chunks', () => {
    fc.assert(
      fc.property(dumpText, fc.nat(), fc.array(fc.nat(5000), { maxLength: 5 }), ({ text }, at, places) => {
        const bytes = bytesOf(text)
        const cut = bytes.subarray(0, at % (bytes.length + 1))
        answers(cut)
        const reader = new CaptureReader()
        for (const chunk of cutAt(cut, places)) reader.push(chunk)
        expect(reader.finish().ok).toBe(readVcd(cut).ok)
      }),
      { numRuns: draws(1000) },
    )
  })
})
