import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { Exchange } from './exchange.ts'
import { wireNumber } from './place.ts'
import type { Place } from './place.ts'
import type { Piece } from './replies.ts'
import type { LinkTrouble } from './troubles.ts'

type Pieces = (offset: number, count: number) => Promise<Result<Piece, LinkTrouble>>

/** Everything, chunk by chunk; pieces that make no whole, or one of more than `most` bytes, are refused with `differs`. */
async function readPieces(
  pieces: Pieces,
  chunkBytes: number,
  most: number,
  differs: LinkTrouble,
  onProgress: (doneBytes: number) => void,
): Promise<Result<Uint8Array, LinkTrouble>> {
  let whole: Uint8Array | null = null
  let offset = 0
  do {
    onProgress(offset)
    const piece = await pieces(offset, chunkBytes)
    if (!piece.ok) return piece
    const { total, bytes } = piece.value
    whole ??= new Uint8Array(Math.min(total, most))
    const expected = Math.min(chunkBytes, total - offset)
    if (total !== whole.length || bytes.length !== expected || expected <= 0) return err(differs)
    whole.set(bytes, offset)
    offset += bytes.length
  } while (offset < whole.length)
  return ok(whole)
}

const quiet = (): void => undefined

/** All bytes of a place that is not empty. */
export const readWhole = (
  exchange: Exchange,
  place: Place,
  onProgress: (doneBytes: number) => void = quiet,
): Promise<Result<Uint8Array, LinkTrouble>> =>
  readPieces(
    (offset, count) => exchange.request({ kind: 'read', bank: wireNumber(place), offset, count }),
    exchange.identity.chunkBytes,
    exchange.identity.largestImageBytes,
    { kind: 'read-differs', place },
    onProgress,
  )

/** All bytes of something that is kept, which is read with `read-stored`. */
export const readStored = (
  exchange: Exchange,
  which: number,
  most: number,
): Promise<Result<Uint8Array, LinkTrouble>> =>
  readPieces(
    (offset, count) => exchange.request({ kind: 'read-stored', which, offset, count }),
    exchange.identity.chunkBytes,
    most,
    { kind: 'stored-differs' },
    quiet,
  )
