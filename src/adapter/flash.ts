import { imageCrc } from '../profile/image-crc.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { Exchange } from './exchange.ts'
import { wireNumber } from './place.ts'
import type { Place } from './place.ts'
import type { BankContent } from './replies.ts'
import { readWhole } from './read-whole.ts'
import type { LinkTrouble } from './troubles.ts'

export interface FlashProgress {
  readonly step: 'writing' | 'committing' | 'reading back'
  readonly doneBytes: number
  readonly totalBytes: number
}

/** A flash that went well: the two images are equal byte for byte, or there would be none. */
export interface Flashed<P extends Place> {
  readonly place: P
  /** What it held before, `null` when it was empty. */
  readonly before: BankContent | null
  readonly written: Uint8Array
  readonly readBack: Uint8Array
  readonly comparedBytes: number
  readonly crc32: number
}

/**
 * Writes an image into a bank or the trial slot, commits it, reads it back and compares every byte. Until the commit the place keeps its
 * old content, so a cancelled or broken flash changes nothing; after the commit the signal is no longer heeded.
 */
export async function flashImage<P extends Place>(
  exchange: Exchange,
  place: P,
  image: Uint8Array,
  onProgress: (progress: FlashProgress) => void,
  signal: AbortSignal | undefined,
): Promise<Result<Flashed<P>, LinkTrouble>> {
  const { largestImageBytes, chunkBytes } = exchange.identity
  const bank = wireNumber(place)
  const written = image.slice()
  const total = written.length
  if (total === 0) return err({ kind: 'image-empty' })
  if (total > largestImageBytes)
    return err({ kind: 'image-too-large', bytes: total, largestBytes: largestImageBytes })

  const status = await exchange.request({ kind: 'status' })
  if (!status.ok) return status
  for (let offset = 0; offset < total; offset += chunkBytes) {
    if (signal?.aborted) return err({ kind: 'cancelled', place })
    onProgress({ step: 'writing', doneBytes: offset, totalBytes: total })
    const bytes = written.subarray(offset, offset + chunkBytes)
    const reply = await exchange.request({ kind: 'write', bank, total, offset, bytes })
    if (!reply.ok) return reply
  }

  if (signal?.aborted) return err({ kind: 'cancelled', place })
  onProgress({ step: 'committing', doneBytes: total, totalBytes: total })
  const crc = imageCrc(written)
  const commit = await exchange.request({ kind: 'commit', bank, length: total, crc32: crc })
  if (!commit.ok) return commit

  const readBack = await readWhole(exchange, place, (doneBytes) =>
    onProgress({ step: 'reading back', doneBytes, totalBytes: total }),
  )
  if (!readBack.ok) return readBack
  const offset = firstDifference(written, readBack.value)
  if (offset !== null) return err({ kind: 'verify-differs', place, offset })
  return ok({
    place,
    before: (place === 'trial' ? status.value.trial?.content : status.value.banks[bank]) ?? null,
    written,
    readBack: readBack.value,
    comparedBytes: total,
    crc32: crc,
  })
}

function firstDifference(a: Uint8Array, b: Uint8Array): number | null {
  const longer = Math.max(a.length, b.length)
  for (let k = 0; k < longer; k++) if (a[k] !== b[k]) return k
  return null
}
