import { encodeBankUf2 } from '../adapter/bank-record.ts'
import { encodeImage } from '../profile/encode-image.ts'
import { writeProfile } from '../profile/file.ts'
import { crcWord, imageCrc } from '../profile/image-crc.ts'
import type { Bank } from '../profile/schema.ts'
import { EXIT } from './fail.ts'
import { loadImageFile, loadProfile, writeWhole } from './files.ts'

export interface OutOptions {
  readonly out: string
  readonly json?: true
}

export interface BuildOptions extends OutOptions {
  readonly uf2?: true
  /** Given with `uf2`, and only then. */
  readonly bank?: Bank
}

/** How a UF2 gets into the adapter. The drive is the RP2040 boot loader's, which starts the chip anew after the last block. */
export const UF2_STEPS = `Unplug the adapter from the console first: two supplies on one board can feed each other. Hold its boot button
while you plug it into the computer, and drag the file onto the drive that appears; the drive goes away when it is
done. What that bank held before is lost; the other banks stay as they are.`

/** Compiles a profile to its image, or to a UF2 that puts the image into a bank. */
export function build(profilePath: string, { out, json, bank }: BuildOptions): number {
  const profile = loadProfile(profilePath)
  const image = encodeImage(profile)
  const uf2 = bank === undefined ? null : encodeBankUf2(image, bank - 1)
  writeWhole(out, uf2 ?? image, [profilePath])
  const told = {
    profile: profile.name,
    bytes: image.length,
    crc32: crcWord(imageCrc(image)),
    out,
    ...(uf2 && { bank, uf2Bytes: uf2.length }),
  }
  const of = `image of ${profile.name}, ${image.length} bytes, CRC ${told.crc32}`
  if (json) console.log(JSON.stringify(told, null, 2))
  else if (uf2) console.log(`${out}: UF2 of ${uf2.length} bytes for bank ${bank}: ${of}.\n${UF2_STEPS}`)
  else console.log(`${out}: ${of}.`)
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
