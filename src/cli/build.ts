import { encodeImage } from '../profile/encode-image.ts'
import { writeProfile } from '../profile/file.ts'
import { CRC_BYTES } from '../profile/image-layout.ts'
import { EXIT } from './fail.ts'
import { loadImageFile, loadProfile, writeWhole } from './files.ts'

export interface OutOptions {
  readonly out: string
  readonly json?: true
}

/**
 * The CRC-32 that an image carries in its last four bytes (IMAGE.md), as text. A CRC over the whole of it, these four
 * included, would be the same for every image.
 */
export const crcWord = (image: Uint8Array): string =>
  new DataView(image.buffer, image.byteOffset, image.length)
    .getUint32(image.length - CRC_BYTES, true)
    .toString(16)
    .toUpperCase()
    .padStart(8, '0')

/** Compiles a profile to its image. */
export function build(profilePath: string, options: OutOptions): number {
  const profile = loadProfile(profilePath)
  const image = encodeImage(profile)
  writeWhole(options.out, image, [profilePath])
  const told = { profile: profile.name, bytes: image.length, crc32: crcWord(image), out: options.out }
  console.log(
    options.json
      ? JSON.stringify(told, null, 2)
      : `${options.out}: image of ${profile.name}, ${image.length} bytes, CRC ${told.crc32}.`,
  )
  return EXIT.fine
}

/** Brings the profile of an image back; notes are not in the image. */
export function unbuild(imagePath: string, options: OutOptions): number {
  const profile = loadImageFile(imagePath)
  writeWhole(options.out, writeProfile(profile), [imagePath])
  console.log(
    options.json
      ? JSON.stringify({ profile: profile.name, out: options.out }, null, 2)
      : `${options.out}: ${profile.name}. Notes are not kept in an image.`,
  )
  return EXIT.fine
}
