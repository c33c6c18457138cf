import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { decodeBlock } from 'uf2'
import { afterAll, describe, expect, test } from 'vitest'
import { bootBlockCrc } from '../../../src/adapter/firmware/boot-block.ts'
import { buildFirmware } from '../../../src/adapter/firmware/build.ts'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { encodeBankUf2 } from '../../../src/adapter/bank-record.ts'
import { describeWith } from '../../tools.ts'
import { FIRMWARE_BIN } from './rig.ts'

const STATIC = new URL('../../../static/firmware/', import.meta.url)
const committed = (name: string): Buffer => readFileSync(new URL(name, STATIC))
const RP2040_FAMILY = 0xe48bff56

/** Bytes by address of a UF2, read by another's library. */
function pagesOf(file: Uint8Array): Map<number, Uint8Array> {
  const pages = new Map<number, Uint8Array>()
  for (let at = 0; at < file.length; at += 512) {
    const block = decodeBlock(Uint8Array.from(file.subarray(at, at + 512)))
    expect(block.boardFamily).toBe(RP2040_FAMILY)
    expect(block.blockNumber).toBe(at / 512)
    expect(block.totalBlocks).toBe(file.length / 512)
    pages.set(block.flashAddress, block.payload)
  }
  return pages
}

describeWith('npm run firmware', ['arm-none-eabi-gcc', 'arm-none-eabi-objcopy'], () => {
  const folder = mkdtempSync(join(tmpdir(), 'ninepin-build-'))
  afterAll(() => rmSync(folder, { recursive: true }))

  test('builds, byte for byte, what is committed', () => {
    const files = buildFirmware(folder)
    expect(files.map(({ path }) => path.slice(folder.length + 1))).toEqual([
      'ninepin.elf',
      'ninepin.bin',
      'ninepin.uf2',
    ])
    for (const name of ['ninepin.elf', 'ninepin.bin', 'ninepin.uf2']) {
      expect(readFileSync(join(folder, name)).equals(committed(name)), name).toBe(true)
    }
  })
})

describe('the firmware as it is committed', () => {
  // RP2040 datasheet §2.8.1.3.1: CRC-32 with polynomial 0x04C11DB7, not reflected, initial value all ones, over 252 bytes.
  // Check value of that CRC (CRC-32/MPEG-2 in the catalogue of parametrised CRC algorithms): 0x0376E6E7.
  test('its boot block carries the checksum that the boot ROM wants', () => {
    expect(bootBlockCrc(Buffer.from('123456789'))).toBe(0x0376e6e7)
    const stored = new DataView(FIRMWARE_BIN.buffer, FIRMWARE_BIN.byteOffset).getUint32(252, true)
    expect(stored).toBe(bootBlockCrc(FIRMWARE_BIN))
  })

  test('stays in its half of the flash', () => {
    expect(FIRMWARE_BIN.length).toBeLessThan(FLASH_MAP.firmwareBytes)
  })

  test('says nothing of where it was built', () => {
    const text = committed('ninepin.elf').toString('latin1')
    for (const trace of ['/work', '/tmp', '/home', '/build', '/usr', '.debug'])
      expect(text.includes(trace), trace).toBe(false)
  })

  test('the UF2 holds the same bytes at the flash’s address', () => {
    const pages = pagesOf(committed('ninepin.uf2'))
    expect(pages.size).toBe(Math.ceil(FIRMWARE_BIN.length / 256))
    for (const [address, page] of pages) {
      const offset = address - 0x10000000
      const bytes = FIRMWARE_BIN.subarray(offset, offset + 256)
      expect(Buffer.from(page.subarray(0, bytes.length)).equals(bytes)).toBe(true)
    }
  })
})

describe('the UF2 of a profile', () => {
  test('writes both sectors of its bank wholly, and nothing else', () => {
    for (const bank of [0, 1, 2, 3]) {
      const pages = pagesOf(
        encodeBankUf2(
          Uint8Array.from({ length: 144 }, (_, k) => k),
          bank,
        ),
      )
      const from = 0x10000000 + FLASH_MAP.banksAt + bank * FLASH_MAP.bankBytes
      expect([...pages.keys()]).toEqual(Array.from({ length: 32 }, (_, k) => from + 256 * k))
      for (const page of pages.values()) expect(page.length).toBe(256)
    }
  })
})
