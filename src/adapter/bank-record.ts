import { crc32 } from '../document/crc32.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { FLASH_ADDRESS, FLASH_MAP, copyAt } from './flash-map.ts'
import { encodeUf2 } from './uf2.ts'

/** What a copy of a bank looks like in the adapter's flash; firmware/STORE.md specifies it. */
const MAGIC = 0x4b42394e
const HEADER_BYTES = 20

/** A bank that the boot loader has written begins to count here. */
const FIRST_SEQUENCE = 1

/** The record of one copy: header and image. */
export function encodeBankRecord(image: Uint8Array, sequence: number): Uint8Array<ArrayBuffer> {
  const record = new Uint8Array(HEADER_BYTES + image.length)
  const view = new DataView(record.buffer)
  view.setUint32(0, MAGIC, true)
  view.setUint32(4, sequence, true)
  view.setUint16(8, image.length, true)
  view.setUint32(12, imageCrc(image), true)
  view.setUint32(16, crc32(record.subarray(0, 16)), true)
  record.set(image, HEADER_BYTES)
  return record
}

/**
 * An image as a UF2 for a bank, counted from 0: both copies, each a whole sector, so that nothing older is left beside them.
 */
export function encodeBankUf2(image: Uint8Array, bank: number): Uint8Array<ArrayBuffer> {
  const sector = new Uint8Array(FLASH_MAP.sectorBytes).fill(0xff)
  sector.set(encodeBankRecord(image, FIRST_SEQUENCE))
  return encodeUf2(
    ([0, 1] as const).map((copy) => ({ address: FLASH_ADDRESS + copyAt(bank, copy), bytes: sector })),
  )
}
