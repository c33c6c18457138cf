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

/** Whether these bytes begin as an image does, be the rest of them what it may. */
export const isImage = (bytes: Uint8Array): boolean => IMAGE_MAGIC.every((byte, at) => bytes[at] === byte)

/**
 * Magic, version, family, length and CRC, in the order in which a wrong file is best explained. Throws a {@link Refusal}.
 *
 * @returns the version of the image
 */
export function checkEnvelope(image: Uint8Array): number {
  if (image.length > IMAGE_MAX_BYTES) {
    throw new Refusal(
      IMAGE_MAX_BYTES,
      `the file has ${image.length} bytes; an image has ${IMAGE_MAX_BYTES} at most`,
    )
  }
  IMAGE_MAGIC.forEach((byte, at) => {
    if (at >= image.length)
      throw new Refusal(at, image.length === 0 ? 'the file is empty' : 'the image is cut off')
    if (image[at] !== byte) throw new Refusal(at, 'this is not a profile image: it does not begin with N9PI')
  })
  const version = image[AT.version]
  if (version === undefined) throw new Refusal(image.length, 'the image is cut off')
  if (version < OLDEST_IMAGE_VERSION || version > IMAGE_VERSION) {
    throw new Refusal(
      AT.version,
      `the image has version ${version}; this Ninepin reads versions ${OLDEST_IMAGE_VERSION} to ${IMAGE_VERSION}`,
    )
  }
  const smallest = layersAt(1) + CRC_BYTES
  if (image.length < smallest) throw new Refusal(image.length, 'the image is cut off')
  if (image[AT.family] !== IMAGE_FAMILY_SELECT_LINE) {
    throw new Refusal(AT.family, `port family ${image[AT.family]} is not known`)
  }
  const view = new DataView(image.buffer, image.byteOffset, image.length)
  const length = view.getUint16(AT.length, true)
  if (length > image.length)
    throw new Refusal(image.length, `the image is cut off: it says it has ${length} bytes`)
  if (length < image.length) throw new Refusal(length, 'there is something behind the end of the image')
  const end = length - CRC_BYTES
  if (view.getUint32(end, true) !== crc32(image.subarray(0, end))) {
    throw new Refusal(end, 'the CRC does not match: the image is damaged')
  }
  return version
}
