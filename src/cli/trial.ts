import type { Adapter } from '../adapter/session.ts'
import type { TrialSlot } from '../adapter/replies.ts'
import { decodeImage } from '../profile/decode-image.ts'
import { imageCrc } from '../profile/image-crc.ts'
import { crcWord } from '../words/hexadecimal.ts'
import { accessTo, adapterLine, labelled, orRefuse } from './adapter-access.ts'
import type { AdapterPlace } from './adapter-access.ts'
import { EXIT } from './fail.ts'
import { say, sayJson } from './output.ts'
import { adapterTexts as t } from './output-texts.ts'

export interface TrialOptions extends AdapterPlace {
  readonly forget?: true
  readonly json?: true
}

interface Found {
  readonly state: TrialSlot['state']
  readonly image: { readonly profile: string | null; readonly bytes: number; readonly crc32: string } | null
}

/** Tells what is in the trial slot of an adapter and what has become of it; empties it. */
export async function trial(options: TrialOptions): Promise<number> {
  const way = await accessTo(options)
  const { identity, found } = await way.with(async (adapter) => {
    if (options.forget) orRefuse(await adapter.forgetTrial())
    return { identity: adapter.identity, found: await look(adapter) }
  })
  const { board, serialNumber } = identity
  if (options.json) {
    sayJson({ adapter: { board, serialNumber }, ...found })
    return EXIT.fine
  }
  say(
    [
      adapterLine(way, identity),
      labelled(t.trial, options.forget ? t.trialForgotten : t.trialState({ state: found.state })),
      ...(found.image ? [labelled('', imageWords(found.image))] : []),
    ].join('\n'),
  )
  return EXIT.fine
}

async function look(adapter: Adapter): Promise<Found> {
  const image = orRefuse(await adapter.readTrial())
  const { trial: slot } = orRefuse(await adapter.status())
  const profile = image && decodeImage(image)
  return {
    state: slot?.state ?? 'empty',
    image: image && {
      profile: profile?.ok ? profile.value.name : null,
      bytes: image.length,
      crc32: crcWord(imageCrc(image)),
    },
  }
}

function imageWords({ profile, bytes, crc32: crc }: NonNullable<Found['image']>): string {
  const image = t.image({ bytes, crc })
  return profile === null ? t.trialHoldsOther({ image }) : t.trialHolds({ profile, image })
}
