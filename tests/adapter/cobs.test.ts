import fc from 'fast-check'
import { expect, test } from 'vitest'
import { cobsDecode, cobsEncode } from '../../src/adapter/cobs.ts'
import { draws } from '../draws.ts'

test('comes back as it was, holds no zero, and grows by one byte and one more for each 254', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 1100 }), (data) => {
      const encoded = cobsEncode(data)
      expect(encoded.includes(0)).toBe(false)
      expect(encoded.length).toBeLessThanOrEqual(data.length + 1 + Math.floor(data.length / 254))
      expect(cobsDecode(encoded)).toEqual({ ok: true, value: data })
    }),
  )
})

test('nothing at all is one byte', () => expect(cobsEncode(new Uint8Array())).toEqual(Uint8Array.of(1)))

test.each([
  ['empty', []],
  ['zero inside', [2, 0]],
  ['cut off', [3, 1]],
  ['cut off', [1, 5]],
])('refuses: %s', (error, bytes) => {
  expect(cobsDecode(Uint8Array.from(bytes))).toEqual({ ok: false, error })
})

test('a full block may end the data with or without an empty one after it', () => {
  const full = new Uint8Array(254).fill(9)
  expect(cobsDecode(Uint8Array.of(0xff, ...full))).toEqual({ ok: true, value: full })
  expect(cobsDecode(Uint8Array.of(0xff, ...full, 1))).toEqual({ ok: true, value: full })
})

test('never throws, whatever it is given', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 600 }), (bytes) => void cobsDecode(bytes)),
    { numRuns: draws(10_000) },
  )
})
