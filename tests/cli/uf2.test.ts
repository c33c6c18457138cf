import { readFileSync } from 'node:fs'
import { decodeBlock } from 'uf2'
import { describe, expect, it } from 'vitest'
import { encodeBankRecord } from '../../src/adapter/bank-record.ts'
import { Chip } from '../../src/adapter/emulator/chip.ts'
import { copyAt } from '../../src/adapter/flash-places.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { Rig, flashWith } from '../adapter/firmware/rig.ts'
import { builtCli } from './run-cli.ts'

const cli = builtCli()
const image = encodeImage(BUILT_IN_PROFILES['six-button'])
const three = encodeImage(BUILT_IN_PROFILES['three-button'])
const BANKS = [1, 2, 3, 4] as const

/** The file for a bank, as the command line writes it. */
function uf2For(bank: number): Buffer {
  const { code, err } = cli.run('build', 'six-button', '--uf2', '--bank', String(bank), '--out', 'x.uf2')
  expect({ code, err }).toEqual({ code: 0, err: '' })
  return readFileSync(cli.path('x.uf2'))
}

const blocksOf = (file: Buffer): Buffer[] =>
  Array.from({ length: file.length / 512 }, (_, k) => file.subarray(512 * k, 512 * (k + 1)))

/** Pages and where they go, as the npm package `uf2` reads them. */
const pagesOf = (file: Buffer) => blocksOf(file).map((block) => decodeBlock(Uint8Array.from(block)))

describe('build --uf2', () => {
  it('says what it made and how it gets into the adapter', () => {
    const { code, out, err } = cli.run('build', 'six-button', '--uf2', '--bank', '2', '--out', 'six.uf2')
    expect({ code, err }).toEqual({ code: 0, err: '' })
    expect(out).toMatch(
      new RegExp(
        `^six\\.uf2: UF2 of 16384 bytes for bank 2: image of Six buttons, ${image.length} bytes, CRC [0-9A-F]{8}\\.\n`,
      ),
    )
    for (const word of ['Unplug the adapter from the console first', 'boot button', 'drive', 'is lost']) {
      expect(out).toContain(word)
    }
  })

  it('prints JSON of this shape', () => {
    expect(cli.json('build', 'six-button', '--uf2', '--bank', '4', '--out', 'six.uf2')).toEqual({
      profile: 'Six buttons',
      pads: [],
      bytes: image.length,
      crc32: expect.stringMatching(/^[0-9A-F]{8}$/) as unknown,
      out: 'six.uf2',
      bank: 4,
      uf2Bytes: 16_384,
    })
  })

  // UF2 specification, "Block Format": offsets, magic numbers, flag 0x2000 (family ID present in the word at 28), data at 32 padded
  // to 476 bytes, final magic at 508. Family 0xE48BFF56 is RP2040 in the specification's list. RP2040 datasheet §2.8.4.2: 256-byte
  // payloads to multiples of 256.
  it.each(BANKS)('bank %i: is laid out as the UF2 specification says', (bank) => {
    const blocks = blocksOf(uf2For(bank))
    blocks.forEach((block, k) => {
      const word = (at: number) => block.readUInt32LE(at)
      expect([word(0), word(4), word(508)]).toEqual([0x0a324655, 0x9e5d5157, 0x0ab16f30])
      expect([word(8), word(28)]).toEqual([0x00002000, 0xe48bff56])
      expect([word(16), word(20), word(24)]).toEqual([256, k, blocks.length])
      expect(word(12) % 256).toBe(0)
      expect(block.subarray(32 + 256, 508).every((byte) => byte === 0)).toBe(true)
    })
  })

  // The boot loader erases each 4 KiB sector that it meets (W25Q family and RP2040 datasheet §2.8.3: sectors of 4096 bytes), so a
  // sector that is not written wholly would lose the rest.
  it.each(BANKS)('bank %i: writes whole sectors, those of this bank alone', (bank) => {
    const pages = pagesOf(uf2For(bank))
    expect(pages.every(({ boardFamily }) => boardFamily === 0xe48bff56)).toBe(true)
    const first = 0x10100000 + 0x2000 * (bank - 1)
    expect(first % 4096).toBe(0)
    expect(pages.map(({ flashAddress }) => flashAddress)).toEqual(
      Array.from({ length: (2 * 4096) / 256 }, (_, k) => first + 256 * k),
    )
  })

  it.each(BANKS)('bank %i: a chip with that flash boots, and the profile is in that bank alone', (bank) => {
    // Before, each bank was written often over the link: the file must win all the same.
    const flash = flashWith()
    for (const other of BANKS) {
      for (const copy of [0, 1] as const) flash.set(encodeBankRecord(three, 900), copyAt(other - 1, copy))
    }
    for (const { flashAddress, payload } of pagesOf(uf2For(bank)))
      flash.set(payload, flashAddress - 0x10000000)
    const rig = new Rig(new Chip({ flash }))
    rig.connect()
    for (const other of BANKS) expect(contentOf(rig, other)).toEqual([...(other === bank ? image : three)])
    rig.becomePad()
    rig.ask<'select-bank'>({ kind: 'select-bank', bank: bank % 4 })
    expect(atThirdLow(rig)).toBe(0b0011)
    rig.ask<'select-bank'>({ kind: 'select-bank', bank: bank - 1 })
    expect(atThirdLow(rig)).toBe(0b0000)
  })
})

function contentOf(rig: Rig, bank: number): number[] {
  const bytes: number[] = []
  for (;;) {
    const piece = rig.ask<'read'>({ kind: 'read', bank: bank - 1, offset: bytes.length, count: 128 })
    bytes.push(...piece.bytes)
    if (bytes.length >= piece.total) return bytes
  }
}

/**
 * Pins 1 to 4 at the third low of a read, after a frame without one. Common practice, no source: six buttons pull all four low
 * there, three buttons leave 1 and 2 high.
 */
function atThirdLow({ chip }: Rig): number {
  chip.setSelect('high')
  chip.runFor(16_000_000)
  for (const level of ['low', 'high', 'low', 'high', 'low'] as const) {
    chip.setSelect(level)
    chip.runFor(5_000)
  }
  return chip.de9 & 0b1111
}
