import { encodeImage } from '../profile/encode-image.ts'
import { writeProfile } from '../profile/file.ts'
import { crcWord, imageCrc } from '../profile/image-crc.ts'
import { EXIT } from './fail.ts'
import { loadImageFile, loadProfile, writeWhole } from './files.ts'

export interface OutOptions {
  readonly out: string
  readonly json?: true
}

/** Compiles a profile to its image. */
export function build(profilePath: string, options: OutOptions): number {
  const profile = loadProfile(profilePath)
  const image = encodeImage(profile)
  writeWhole(options.out, image, [profilePath])
  const told = {
    profile: profile.name,
    bytes: image.length,
    crc32: crcWord(imageCrc(image)),
    out: options.out,
  }
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
