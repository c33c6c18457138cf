import { crc32 } from 'node:zlib'
import { FLASH_MAP } from '../../../src/adapter/flash-map.ts'
import { PAD_RECORD_BYTES } from '../../../src/adapter/constants.ts'
import type { LastActivity, PadRecord } from '../../../src/adapter/pad-history.ts'
import { encodeLastActivity, putPad } from '../../reference/adapter/link-device-codec.ts'

/** What the adapter keeps of pads, as it lies in flash: written from STORE.md, with zlib's CRC. */

const HEADER_BYTES = 20

function record(magic: string, sequence: number, content: Uint8Array): Uint8Array {
  const bytes = Buffer.alloc(HEADER_BYTES + content.length)
  bytes.write(magic, 'ascii')
  bytes.writeUInt32LE(sequence, 4)
  bytes.writeUInt16LE(content.length, 8)
  bytes.writeUInt32LE(crc32(content), 12)
  bytes.writeUInt32LE(crc32(bytes.subarray(0, 16)), 16)
  bytes.set(content, HEADER_BYTES)
  return bytes
}

export function metRecord(sequence: number, pad: PadRecord, descriptor: Uint8Array): Uint8Array {
  const content = new Uint8Array(PAD_RECORD_BYTES + descriptor.length)
  putPad(new DataView(content.buffer), 0, pad)
  content.set(descriptor, PAD_RECORD_BYTES)
  return record('N9PD', sequence, content)
}

export const seenRecord = (sequence: number, seen: LastActivity): Uint8Array =>
  record('N9SN', sequence, encodeLastActivity(seen))

export const metAt = (sector: number): number => FLASH_MAP.historyAt + sector * FLASH_MAP.sectorBytes

/** Three places a sector, five pages each. */
export const seenAt = (place: number): number =>
  FLASH_MAP.activityAt + Math.floor(place / 3) * FLASH_MAP.sectorBytes + (place % 3) * 5 * FLASH_MAP.pageBytes
