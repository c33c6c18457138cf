import { crc32 } from '../document/crc32.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { FLASH_MAP, MAGIC, RECORD_AT, RECORD_HEADER_BYTES } from './flash-map.ts'
import { FLASH_ADDRESS, copyAt } from './flash-places.ts'
import { encodeUf2 } from './uf2.ts'

/** A bank that the boot loader has written begins to count here. */
const FIRST_SEQUENCE = 1

/** The record of one copy in the adapter’s flash, header and image; firmware/STORE.md specifies it. */
export function encodeBankRecord(image: Uint8Array, sequence: number): Uint8Array<ArrayBuffer> {
  const record = new Uint8Array(RECORD_HEADER_BYTES + image.length)
  const view = new DataView(record.buffer)
  view.setUint32(RECORD_AT.magic, MAGIC.bank, true)
  view.setUint32(RECORD_AT.sequence, sequence, true)
  view.setUint16(RECORD_AT.length, image.length, true)
  view.setUint32(RECORD_AT.contentCrc, imageCrc(image), true)
  view.setUint32(RECORD_AT.headerCrc, crc32(record.subarray(0, RECORD_AT.headerCrc)), true)
  record.set(image, RECORD_HEADER_BYTES)
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
