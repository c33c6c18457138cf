import type { Flashed } from '../adapter/flash.ts'
import type { Place } from '../adapter/place.ts'
import type { Adapter } from '../adapter/session.ts'
import type { LinkTrouble } from '../adapter/troubles.ts'
import type { Result } from '../port/result.ts'
import { layoutsOfImage } from '../profile/decode-image.ts'
import { encodeImage } from '../profile/encode-image.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { crcWord } from '../words/hexadecimal.ts'
import type { Bank } from '../profile/schema.ts'
import { EXIT } from './fail.ts'
import { loadForBank, padsOf, padsWords } from './layouts.ts'
import { accessTo, adapterLine, labelled, orRefuse } from './adapter-access.ts'
import type { AdapterPlace } from './adapter-access.ts'
import { say, sayJson } from './output.ts'
import { adapterTexts as t } from './output-texts.ts'

export interface FlashOptions extends AdapterPlace {
  /** One of the two. */
  readonly bank?: Bank
  readonly trial?: true
  /** Layout files of the pads that go in. */
  readonly pad: readonly string[]
  readonly json?: true
}

const tell = (image: Uint8Array) => ({
  bytes: image.length,
  crc32: crcWord(imageCrc(image)),
  pads: padsOf(layoutsOfImage(image)),
})

const write = (
  adapter: Adapter,
  place: Place,
  image: Uint8Array,
): Promise<Result<Flashed<Place>, LinkTrouble>> =>
  place === 'trial' ? adapter.armTrial(image) : adapter.flash(place, image)

/** Writes a profile and layouts of pads into a bank of an adapter, or its trial slot, reads it back and compares every byte. */
export async function flash(profilePath: string, options: FlashOptions): Promise<number> {
  const { profile, layouts, sweep } = loadForBank(profilePath, options.pad)
  const image = encodeImage(profile, layouts, sweep)
  const way = await accessTo(options)
  const told = await way.with(async (adapter: Adapter) => {
    const { board, serialNumber } = adapter.identity
    const place = options.bank ?? 'trial'
    const before = orRefuse(await (place === 'trial' ? adapter.readTrial() : adapter.readBank(place)))
    const done = orRefuse(await write(adapter, place, image))
    return {
      adapter: { board, serialNumber },
      profile: profile.name,
      ...(place === 'trial' ? { trial: true } : { bank: place }),
      before: before && tell(before),
      written: tell(done.written),
      readBack: tell(done.readBack),
      comparedBytes: done.comparedBytes,
      equal: true,
    }
  })
  if (options.json) {
    sayJson(told)
    return EXIT.fine
  }
  const { adapter, before, written, readBack } = told
  const { bank } = options
  const imageOf = ({ bytes, crc32: crc }: typeof written) => t.image({ bytes, crc })
  const padsIn = ({ pads }: typeof written) =>
    pads.length > 0 ? [labelled('', t.pads({ pads: padsWords(pads) }))] : []
  say(
    [
      adapterLine(way, adapter),
      labelled(
        t.before,
        bank === undefined
          ? before === null
            ? t.trialEmpty
            : t.trialImage({ image: imageOf(before) })
          : before === null
            ? t.bankEmpty({ bank })
            : t.bankImage({ bank, image: imageOf(before) }),
      ),
      ...(before === null ? [] : padsIn(before)),
      labelled(t.written, t.profileImage({ profile: told.profile, image: imageOf(written) })),
      ...padsIn(written),
      labelled(t.readBack, imageOf(readBack)),
      labelled(t.verified, t.allEqual({ bytes: told.comparedBytes })),
    ].join('\n'),
  )
  return EXIT.fine
}
