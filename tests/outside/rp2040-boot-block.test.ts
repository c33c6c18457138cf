import fc from 'fast-check'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { Chip } from '../../src/adapter/emulator/chip.ts'
import { bootChecksum } from '../../src/adapter/emulator/boot.ts'
import { bootBlockCrc } from '../../src/adapter/firmware/boot-block.ts'

/**
 * Source: RP2040 datasheet §2.8.1.3.1, Checksum: the last four of the 256 bytes of the flash's second stage are a CRC-32 of the first
 * 252; polynomial 0x04c11db7, no reflection in or out, initial value 0xffffffff, final XOR 0, little-endian. (Looked up as public
 * sources quote it: section, table of parameters and word order agree.)
 */
const firmware = new Uint8Array(readFileSync(new URL('../../static/firmware/ninepin.bin', import.meta.url)))

/** Long division of polynomials over GF(2), a bit at a time: message times x³², the first 32 bits inverted, modulo the polynomial. */
function remainder(message: Uint8Array): number {
  const bits = [...message, 0, 0, 0, 0].flatMap((byte) =>
    [7, 6, 5, 4, 3, 2, 1, 0].map((k) => (byte >> k) & 1),
  )
  const divisor = [...(0x104c11db7).toString(2)].map(Number)
  for (let k = 0; k < 32; k++) bits[k] = 1 - (bits[k] ?? 0)
  for (let at = 0; at < 8 * message.length; at++) {
    if (bits[at] === 0) continue
    divisor.forEach((one, k) => (bits[at + k] = (bits[at + k] ?? 0) ^ one))
  }
  return parseInt(bits.slice(-32).join(''), 2)
}

describe('checksum of the boot block', () => {
  /** Catalogue of parametrised CRC algorithms, CRC-32/MPEG-2, which has these parameters: check 0x0376e6e7. From memory. */
  it('the division used here gives the catalogue’s check value', () => {
    expect(remainder(new TextEncoder().encode('123456789'))).toBe(0x0376e6e7)
  })

  it('the committed firmware carries it', () => {
    const stored = new DataView(firmware.buffer).getUint32(252, true)
    expect(stored).toBe(remainder(firmware.subarray(0, 252)))
  })

  it('the build and the emulated boot ROM reckon it of any block', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 256, maxLength: 256 }), (block) => {
        const crc = remainder(block.subarray(0, 252))
        expect([bootBlockCrc(block), bootChecksum(block)]).toEqual([crc, crc])
      }),
    )
  })

  it('the emulated chip boots with it, and with no bit of the block turned', () => {
    const state = (flash: Uint8Array) => new Chip({ flash }).state
    expect(state(firmware)).toBe('on')
    fc.assert(
      fc.property(fc.nat(256 * 8 - 1), (bit) => {
        const turned = firmware.slice()
        turned[bit >> 3] = (turned[bit >> 3] ?? 0) ^ (1 << (bit & 7))
        expect(state(turned)).toBe('usb-boot')
      }),
      { numRuns: 50 },
    )
  })
})
