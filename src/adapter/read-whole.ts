import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import type { BankNumber } from './constants.ts'
import type { Exchange } from './exchange.ts'
import type { LinkTrouble } from './troubles.ts'

/** All bytes of a bank that is not empty, chunk by chunk; pieces that make no whole are refused. */
export async function readWhole(
  exchange: Exchange,
  number: BankNumber,
  onProgress: (doneBytes: number) => void = () => undefined,
): Promise<Result<Uint8Array, LinkTrouble>> {
  const { chunkBytes, largestImageBytes } = exchange.identity
  let whole: Uint8Array | null = null
  let offset = 0
  do {
    onProgress(offset)
    const piece = await exchange.request({ kind: 'read', bank: number - 1, offset, count: chunkBytes })
    if (!piece.ok) return piece
    const { total, bytes } = piece.value
    whole ??= new Uint8Array(Math.min(total, largestImageBytes))
    const expected = Math.min(chunkBytes, total - offset)
    if (total !== whole.length || bytes.length !== expected || expected <= 0)
      return err({ kind: 'read-differs', bank: number })
    whole.set(bytes, offset)
    offset += bytes.length
  } while (offset < whole.length)
  return ok(whole)
}
