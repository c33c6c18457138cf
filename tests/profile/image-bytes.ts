import { readFileSync } from 'node:fs'
import { crc32 } from '../../src/document/crc32.ts'

/** IMAGE.md as it stands. */
export const IMAGE_PAGE = readFileSync(new URL('../../src/profile/IMAGE.md', import.meta.url), 'utf8')

/** The image with its CRC computed again over what now stands before it. */
export function sealed(image: Uint8Array): Uint8Array<ArrayBuffer> {
  const copy = Uint8Array.from(image)
  const end = copy.length - 4
  new DataView(copy.buffer).setUint32(end, crc32(copy.subarray(0, end)), true)
  return copy
}

/** The image with some bytes changed, and its CRC computed again. */
export const doctored = (
  image: Uint8Array,
  changes: Readonly<Record<number, number>>,
): Uint8Array<ArrayBuffer> => {
  const copy = Uint8Array.from(image)
  for (const [at, byte] of Object.entries(changes)) copy[Number(at)] = byte
  return sealed(copy)
}
