import { createRequire } from 'node:module'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { cobsDecode, cobsEncode } from '../../src/adapter/cobs.ts'
import { draws } from '../draws.ts'

const bytesOf = (hex: string) => Uint8Array.from(hex.split(' '), (byte) => parseInt(byte, 16))
const repeat = (byte: number, count: number) => new Array<number>(count).fill(byte)

/**
 * Source: Cheshire and Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999,
 * figures 2 and 3, as ported test suites of COBS libraries cite them (the paper itself was not at hand). The zero that
 * the paper imagines after the data is not part of it.
 */
describe('the worked examples of the COBS paper', () => {
  const examples: readonly [string, Uint8Array, Uint8Array][] = [
    [
      'figure 2: a long run without a zero becomes two full blocks and a rest',
      Uint8Array.from(repeat(1, 679)),
      Uint8Array.from([0xff, ...repeat(1, 254), 0xff, ...repeat(1, 254), 0xac, ...repeat(1, 171)]),
    ],
    [
      'figure 3: the start of a packet',
      bytesOf('45 00 00 2c 4c 79 00 00 40 06 4f 37'),
      bytesOf('02 45 01 04 2c 4c 79 01 05 40 06 4f 37'),
    ],
  ]
  test.each(examples)('%s', (_, data, encoded) => {
    expect(cobsEncode(data)).toEqual(encoded)
    expect(cobsDecode(encoded)).toEqual({ ok: true, value: data })
  })
})

interface Cobs {
  encode(data: Buffer): Buffer
  decode(encoded: Buffer): Buffer
}

/** Source: the npm package "cobs", version 0.2. */
describe('agreement with the npm package cobs', () => {
  const { encode, decode } = createRequire(import.meta.url)('cobs') as Cobs
  const data = fc.oneof(
    fc.uint8Array({ maxLength: 1200 }),
    fc.array(fc.integer({ min: 0, max: 20 }), { maxLength: 1200 }).map((list) => Uint8Array.from(list)),
    fc.nat(1200).map((length) => new Uint8Array(length).fill(7)),
  )

  test('both encode the same', () => {
    fc.assert(
      fc.property(data, (bytes) => {
        expect(cobsEncode(bytes)).toEqual(Uint8Array.from(encode(Buffer.from(bytes))))
      }),
      { numRuns: draws(1000) },
    )
  })

  test('each decodes what the other encoded', () => {
    fc.assert(
      fc.property(data, (bytes) => {
        expect(cobsDecode(Uint8Array.from(encode(Buffer.from(bytes))))).toEqual({ ok: true, value: bytes })
        expect(Uint8Array.from(decode(Buffer.from(cobsEncode(bytes))))).toEqual(bytes)
      }),
      { numRuns: draws(1000) },
    )
  })
})
