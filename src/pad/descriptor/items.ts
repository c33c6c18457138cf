import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { t } from './descriptor-texts.ts'
import type { DescriptorError } from './shape.ts'

/** One item of a report descriptor (HID 1.11 sections 6.2.2.2 and 6.2.2.3). */
export interface Item {
  /** Offset of its first byte. */
  readonly byte: number
  /** Tag and type, as the upper six bits of the prefix; {@link LONG} for a long item. */
  readonly code: number
  /** Bytes of data: 0, 1, 2 or 4. */
  readonly size: number
  /** The data as an unsigned number. */
  readonly unsigned: number
  /** The data in two's complement. */
  readonly signed: number
  /** Offset of what follows. */
  readonly next: number
}

export const LONG = 0xfe

/** The item that begins at `byte`, which is inside the descriptor. */
export function itemAt(bytes: Uint8Array, byte: number): Result<Item, DescriptorError> {
  const at = (offset: number): number => bytes[byte + offset] ?? 0
  const prefix = at(0)
  const cut = (length: number) =>
    err({ byte, message: t.itemCut({ bytes: length, came: bytes.length - byte }) })
  if (prefix === LONG) {
    if (byte + 1 >= bytes.length) return cut(3)
    const length = 3 + at(1)
    if (byte + length > bytes.length) return cut(length)
    return ok({ byte, code: LONG, size: 0, unsigned: 0, signed: 0, next: byte + length })
  }
  const size = (prefix & 3) === 3 ? 4 : prefix & 3
  if (byte + 1 + size > bytes.length) return cut(1 + size)
  const data =
    size === 0 ? 0 : at(1) | (size > 1 ? at(2) << 8 : 0) | (size > 2 ? (at(3) << 16) | (at(4) << 24) : 0)
  const unused = 32 - 8 * size
  return ok({
    byte,
    code: prefix & 0xfc,
    size,
    unsigned: data >>> 0,
    signed: size === 0 ? 0 : (data << unused) >> unused,
    next: byte + 1 + size,
  })
}
