import { ModelAdapter } from '../adapter/model-adapter.ts'
import { connect } from '../adapter/session.ts'
import { modelTransport } from '../adapter/transports/model.ts'
import { sentenceFor } from '../adapter/troubles.ts'
import type { Trouble } from '../adapter/troubles.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import { encodeImage } from '../profile/encode-image.ts'
import { crcWord, imageCrc } from '../profile/image-crc.ts'
import type { Bank } from '../profile/schema.ts'
import { EXIT } from './fail.ts'
import { loadProfile } from './files.ts'

export interface FlashOptions {
  readonly bank: Bank
  readonly model: true
  readonly json?: true
}

/** An adapter did not take what was sent; said in a sentence, exit 1. */
export class AdapterRefused extends Error {}

const orRefuse = <T>(result: Result<T, Trouble>): T => {
  if (result.ok) return result.value
  throw new AdapterRefused(sentenceFor(result.error))
}

const tell = (image: Uint8Array) => ({ bytes: image.length, crc32: crcWord(imageCrc(image)) })

/** Writes a profile into a bank of the model adapter, reads it back and compares every byte. */
export async function flash(profilePath: string, options: FlashOptions): Promise<number> {
  const profile = loadProfile(profilePath)
  const image = encodeImage(profile)
  const model = new ModelAdapter({ factoryImage: encodeImage(BUILT_IN_PROFILES['three-button']) })
  const adapter = orRefuse(await connect(modelTransport(model)))
  try {
    const { board, serialNumber } = adapter.identity
    const before = orRefuse(await adapter.readBank(options.bank))
    const done = orRefuse(await adapter.flash(options.bank, image))
    const told = {
      adapter: { board, serialNumber },
      profile: profile.name,
      bank: done.bank,
      before: before && tell(before),
      written: tell(done.written),
      readBack: tell(done.readBack),
      comparedBytes: done.comparedBytes,
      equal: true,
    }
    if (options.json) {
      console.log(JSON.stringify(told, null, 2))
      return EXIT.fine
    }
    const was = told.before === null ? 'empty' : `${told.before.bytes} bytes, CRC ${told.before.crc32}`
    console.log(`adapter    ${board}, ${serialNumber} (in memory; nothing here reaches a real box)`)
    console.log(`was there  bank ${done.bank}: ${was}`)
    console.log(`written    ${profile.name}: ${told.written.bytes} bytes, CRC ${told.written.crc32}`)
    console.log(`read back  ${told.readBack.bytes} bytes, CRC ${told.readBack.crc32}`)
    console.log(`compared   ${told.comparedBytes} bytes, all equal`)
    return EXIT.fine
  } finally {
    await adapter.close()
  }
}
