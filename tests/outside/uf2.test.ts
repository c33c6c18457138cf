import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { decodeBlock, encodeBlock, familyMap, isUF2Block } from 'uf2'
import { describe, expect, it } from 'vitest'
import { encodeBankUf2 } from '../../src/adapter/bank-record.ts'
import { encodeUf2 } from '../../src/adapter/uf2.ts'

/**
 * Sources: the UF2 specification (github.com/microsoft/uf2: README.md, "File format", "Flags", "Payload sizes"; RP2040's family in
 * utils/uf2families.json) and the npm package `uf2`, written by others from the same specification. RP2040 datasheet §2.8.4.2, "UF2
 * Format Details", asks for 256 bytes of payload, to multiples of 256, in blocks of one family (section found quoted, its text from
 * memory). The file that the command line writes for a bank is checked in tests/cli/uf2.test.ts.
 */
const RP2040 = 0xe48bff56
const FAMILY_PRESENT = 0x2000
const FLASH = 0x10000000

const staticFile = (name: string): Uint8Array<ArrayBuffer> =>
  Uint8Array.from(readFileSync(new URL(`../../static/firmware/${name}`, import.meta.url)))

const blocksOf = (file: Uint8Array): Uint8Array<ArrayBuffer>[] =>
  Array.from({ length: Math.ceil(file.length / 512) }, (_, k) =>
    Uint8Array.from(file.subarray(512 * k, 512 * (k + 1))),
  )

/** Each block as the package writes it from what the package reads. */
const writtenByOthers = (file: Uint8Array): Uint8Array[] =>
  blocksOf(file).map((block) => encodeBlock(decodeBlock(block)))

const arbParts = fc
  .array(
    fc.record({
      address: fc.nat(0x1fff).map((page) => FLASH + 256 * page),
      bytes: fc.uint8Array({ minLength: 1, maxLength: 1500 }),
    }),
    { minLength: 1, maxLength: 4 },
  )
  .filter((parts) => parts.every(({ address, bytes }) => address + bytes.length <= FLASH + 0x200000))

describe('the firmware’s UF2', () => {
  const file = staticFile('ninepin.uf2')
  const bin = staticFile('ninepin.bin')

  it('has the fields of the specification at their offsets', () => {
    expect(file.length % 512).toBe(0)
    blocksOf(file).forEach((block, k, blocks) => {
      const word = (offset: number) => new DataView(block.buffer).getUint32(offset, true)
      const firstMagic = new TextDecoder().decode(block.subarray(0, 4))
      expect([firstMagic, word(4), word(508)]).toEqual(['UF2\n', 0x9e5d5157, 0x0ab16f30])
      expect([word(8), word(28)]).toEqual([FAMILY_PRESENT, RP2040])
      expect([word(12), word(16)]).toEqual([FLASH + 256 * k, 256])
      expect([word(20), word(24)]).toEqual([k, blocks.length])
      // Older editions of the specification pad with zeros, newer ones with 0xff; neither is read, since neither a checksum (0x4000)
      // nor tags (0x8000) are flagged.
      expect(block.subarray(32 + 256, 508).some((byte) => byte !== 0)).toBe(false)
    })
  })

  it('is of the family that the list calls RP2040', () => {
    expect(familyMap.get(RP2040)).toMatch(/RP2040/)
  })

  it('gives others the binary, filled up with erased flash', () => {
    const blocks = blocksOf(file)
    expect(blocks.every((block) => isUF2Block(block))).toBe(true)
    const flash = blocks.flatMap((block) => [...decodeBlock(block).payload])
    expect(flash.length - bin.length).toBeLessThan(256)
    expect(Buffer.from(flash.slice(0, bin.length)).equals(Buffer.from(bin))).toBe(true)
    expect(flash.slice(bin.length).every((byte) => byte === 0xff)).toBe(true)
  })

  it('is, byte for byte, what others write', () => {
    expect(Buffer.concat(writtenByOthers(file)).equals(Buffer.from(file))).toBe(true)
  })
})

describe('any UF2', () => {
  it('is, byte for byte, what others write, and puts every byte where it belongs', () => {
    fc.assert(
      fc.property(arbParts, (parts) => {
        const file = encodeUf2(parts)
        expect(Buffer.concat(writtenByOthers(file)).equals(Buffer.from(file))).toBe(true)
        const blocks = blocksOf(file).map((block) => decodeBlock(block))
        expect(blocks.map(({ blockNumber }) => blockNumber)).toEqual(blocks.map((_, k) => k))
        let next = 0
        for (const { address, bytes } of parts) {
          const mine = blocks.slice(next, (next += Math.ceil(bytes.length / 256)))
          expect(mine.map(({ flashAddress }) => flashAddress)).toEqual(mine.map((_, k) => address + 256 * k))
          expect(mine.flatMap(({ payload }) => [...payload]).slice(0, bytes.length)).toEqual([...bytes])
        }
        expect(next).toBe(blocks.length)
      }),
    )
  })

  it('a bank’s is, too', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 2048 }), fc.nat(3), (image, bank) => {
        const file = encodeBankUf2(image, bank)
        expect(Buffer.concat(writtenByOthers(file)).equals(Buffer.from(file))).toBe(true)
      }),
      { numRuns: 20 },
    )
  })
})
