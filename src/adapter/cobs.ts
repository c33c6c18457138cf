import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'

/**
 * Consistent Overhead Byte Stuffing: the same bytes without a zero among them, so that a zero can end a frame.
 * Source: Cheshire and Baker, "Consistent Overhead Byte Stuffing", IEEE/ACM Transactions on Networking 7(2), 1999.
 */

/** A code byte tells the distance to the next one; this one stands for 254 bytes with no zero after them. */
const FULL_BLOCK = 0xff

export type CobsError = 'empty' | 'zero inside' | 'cut off'

/** Encodes any bytes, without the delimiting zero. Grows by one byte, and by one more for each 254. */
export function cobsEncode(data: Uint8Array): Uint8Array {
  const out = new Uint8Array(data.length + Math.floor(data.length / (FULL_BLOCK - 1)) + 1)
  let codeAt = 0
  let at = 1
  for (const byte of data) {
    if (byte !== 0) out[at++] = byte
    if (byte === 0 || at - codeAt === FULL_BLOCK) {
      out[codeAt] = at - codeAt
      codeAt = at++
    }
  }
  out[codeAt] = at - codeAt
  return out.subarray(0, at)
}

/** Decodes what stood between two delimiting zeros. */
export function cobsDecode(encoded: Uint8Array): Result<Uint8Array, CobsError> {
  if (encoded.length === 0) return err('empty')
  if (encoded.includes(0)) return err('zero inside')
  const out = new Uint8Array(encoded.length)
  let length = 0
  let at = 0
  while (at < encoded.length) {
    const code = encoded[at] as number
    const next = at + code
    if (next > encoded.length) return err('cut off')
    out.set(encoded.subarray(at + 1, next), length)
    length += code - 1
    // The zero after the last block is the one that the encoder imagined at the end of the data.
    if (code !== FULL_BLOCK && next < encoded.length) length++
    at = next
  }
  return ok(out.subarray(0, length))
}
