import { crc32 } from '../document/crc32.ts'
import { CRC_BYTES } from './image-layout.ts'

/**
 * What an image is told by, on the link and in a bank: the CRC-32 of all but its last four bytes, which is what a sound image
 * carries in these four. A CRC over the whole, its own CRC included, would be the same number for every image.
 */
export const imageCrc = (image: Uint8Array): number =>
  crc32(image.subarray(0, Math.max(0, image.length - CRC_BYTES)))
