import { encodeBankUf2 } from '../adapter/bank-record.ts'
import { encodeImage } from '../profile/encode-image.ts'
import { writeProfile } from '../profile/file.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { crcWord } from '../words/hexadecimal.ts'
import type { Bank } from '../profile/schema.ts'
import { EXIT } from './fail.ts'
import { loadImageFile } from './files.ts'
import { writeAllWhole, writeWhole } from './write.ts'
import { loadForBank, padsOf, padsWords, layoutFiles } from './layouts.ts'
import { say, sayJson } from './output.ts'
import { t as helpTexts } from './help-texts.ts'
import { fileTexts as t } from './output-texts.ts'

export interface OutOptions {
  readonly out: string
  readonly json?: true
}

export interface BuildOptions extends OutOptions {
  /** Layout files of the pads that go in. */
  readonly pad: readonly string[]
  readonly uf2?: true
  /** Given with `uf2`, and only then. */
  readonly bank?: Bank
}

export interface UnbuildOptions extends OutOptions {
  /** A folder for the layouts of the pads. */
  readonly pads?: string
}

/** Compiles a profile and layouts of pads to an image, or to a UF2 that puts the image into a bank. */
export function build(profilePath: string, { out, json, bank, pad }: BuildOptions): number {
  const { profile, layouts, sweep } = loadForBank(profilePath, pad)
  const image = encodeImage(profile, layouts, sweep)
  const uf2 = bank === undefined ? null : encodeBankUf2(image, bank - 1)
  writeWhole(out, uf2 ?? image, [profilePath, ...pad])
  const told = {
    profile: profile.name,
    pads: padsOf(layouts),
    bytes: image.length,
    crc32: crcWord(imageCrc(image)),
    out,
    ...(uf2 && { bank, uf2Bytes: uf2.length }),
  }
  if (json) {
    sayJson(told)
    return EXIT.fine
  }
  const about = { file: out, profile: profile.name, bytes: image.length, crc: told.crc32 }
  const made =
    uf2 === null || bank === undefined ? t.image(about) : t.uf2({ ...about, uf2Bytes: uf2.length, bank })
  const pads = layouts.length > 0 ? [t.padsIn({ pads: padsWords(padsOf(layouts)) })] : []
  say([made, ...pads].join(' '))
  // The drive is the RP2040 boot loader's, which starts the chip again after the last block.
  if (uf2) say(helpTexts.uf2Steps)
  return EXIT.fine
}

/** Brings the profile of an image back, and the layouts of its pads; notes are not in the image. */
export function unbuild(imagePath: string, { out, pads, json }: UnbuildOptions): number {
  const { profile, layouts, sweep } = loadImageFile(imagePath)
  const beside = pads === undefined ? { paths: [], files: [] } : layoutFiles(pads, layouts)
  writeAllWhole([...beside.files, { path: out, content: writeProfile(profile) }], [imagePath])
  const files = beside.paths
  if (json) {
    const told = padsOf(layouts).map((pad, k) => ({ ...pad, ...(files[k] && { out: files[k] }) }))
    sayJson({ profile: profile.name, pads: told, ...(sweep && { lateRepliesLeftOut: true }), out })
    return EXIT.fine
  }
  say(t.profile({ file: out, profile: profile.name }))
  if (sweep) say(t.sweepStays)
  if (files.length > 0) say(layouts.map(({ name }, k) => t.layout({ file: files[k] ?? '', name })).join('\n'))
  else if (layouts.length > 0)
    say(t.padsStay({ pads: padsWords(padsOf(layouts)), option: '--pads <folder>' }))
  return EXIT.fine
}
