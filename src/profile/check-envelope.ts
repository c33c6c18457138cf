import { crc32 } from '../document/crc32.ts'
import {
  AT,
  CRC_BYTES,
  IMAGE_FAMILY_SELECT_LINE,
  IMAGE_MAGIC,
  IMAGE_MAX_BYTES,
  IMAGE_VERSION,
  OLDEST_IMAGE_VERSION,
} from './image-layout.ts'
import { layersAt } from './image-codes.ts'
import { Refusal } from './image-reader.ts'
import { t as documentTexts } from '../document/document-texts.ts'
import { imageTexts as t } from './profile-file-texts.ts'

/** Whether these bytes begin as an image does, be the rest of them what it may. */
export const isImage = (bytes: Uint8Array): boolean => IMAGE_MAGIC.every((byte, at) => bytes[at] === byte)

/**
 * Magic, version, family, length and CRC, in the order in which a wrong file is best explained. Throws a {@link Refusal}.
 *
 * @returns the version of the image
 */
export function checkEnvelope(image: Uint8Array): number {
  if (image.length > IMAGE_MAX_BYTES) {
    throw new Refusal(IMAGE_MAX_BYTES, t.tooLong({ bytes: image.length, most: IMAGE_MAX_BYTES }))
  }
  IMAGE_MAGIC.forEach((byte, at) => {
    if (at >= image.length) throw new Refusal(at, image.length === 0 ? documentTexts.empty : t.cutOff)
    if (image[at] !== byte) throw new Refusal(at, t.noImage)
  })
  const version = image[AT.version]
  if (version === undefined) throw new Refusal(image.length, t.cutOff)
  if (version < OLDEST_IMAGE_VERSION || version > IMAGE_VERSION) {
    throw new Refusal(AT.version, t.version({ version, oldest: OLDEST_IMAGE_VERSION, newest: IMAGE_VERSION }))
  }
  const smallest = layersAt(1) + CRC_BYTES
  if (image.length < smallest) throw new Refusal(image.length, t.cutOff)
  if (image[AT.family] !== IMAGE_FAMILY_SELECT_LINE) {
    throw new Refusal(AT.family, t.family({ family: Number(image[AT.family]) }))
  }
  const view = new DataView(image.buffer, image.byteOffset, image.length)
  const length = view.getUint16(AT.length, true)
  if (length > image.length) throw new Refusal(image.length, t.cutOffAt({ bytes: length }))
  if (length < image.length) throw new Refusal(length, t.behindEnd)
  const end = length - CRC_BYTES
  if (view.getUint32(end, true) !== crc32(image.subarray(0, end))) {
    throw new Refusal(end, t.crc)
  }
  return version
}
