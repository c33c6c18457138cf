import * as zlib from 'node:zlib'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { crc32 } from '../../src/document/crc32.ts'
import { draws } from '../draws.ts'

const ascii = (text: string) => new TextEncoder().encode(text)

/** Source: the catalogue of parametrised CRC algorithms, entry CRC-32/ISO-HDLC. */
test('check value 0xCBF43926 of the nine digits', () => {
  expect(crc32(ascii('123456789'))).toBe(0xcbf43926)
})

/** Source: the same entry; a whole code word, CRC appended low byte first, leaves residue 0xDEBB20E3 before the complement. */
test('residue 0xDEBB20E3 of any bytes followed by their CRC', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 600 }), (bytes) => {
      const word = new Uint8Array(bytes.length + 4)
      word.set(bytes)
      new DataView(word.buffer).setUint32(bytes.length, crc32(bytes), true)
      expect((crc32(word) ^ 0xffffffff) >>> 0).toBe(0xdebb20e3)
    }),
  )
})

/** Node has `zlib.crc32` from 20.15 and 22.2 on; the suite says by name when it is skipped. */
const nodeCrc32 = (zlib as { crc32?: (bytes: Uint8Array) => number }).crc32
const suite = 'agreement with zlib.crc32 of Node'

describe.skipIf(!nodeCrc32)(nodeCrc32 ? suite : `${suite} (not here: needs Node 20.15 or 22.2)`, () => {
  test('on random bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 2000 }), (bytes) => {
        expect(crc32(bytes)).toBe(nodeCrc32?.(bytes))
      }),
      { numRuns: draws(1000) },
    )
  })
})

/** Source: RFC 1952 §2.3.1: a gzip member ends with the CRC-32 and the length of its content. Works in every Node. */
test('agreement with the CRC-32 at the end of what zlib.gzipSync writes', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 2000 }), (bytes) => {
      const zipped = zlib.gzipSync(bytes)
      expect(crc32(bytes)).toBe(zipped.readUInt32LE(zipped.length - 8))
    }),
  )
})
