import { textOf } from './text.ts'

/** Identifier codes are made of the 94 printable ASCII characters from `!` to `~` [IEEE 1364]. */
const FIRST = 33
const COUNT = 94
/** How many codes have one or two characters; as keys count codes, theirs go up to this. */
export const SHORT_CODES = COUNT + COUNT ** 2
/** The longest code whose count is still an exact integer in a double. */
const LONGEST_COUNTED = 8

/** Stands for an identifier code; equal codes have equal keys. */
export type CodeKey = number | string

/**
 * The key of the code in `bytes[from..to)`. A code of usual length is counted in base 94, so that no string is
 * made for each of millions of changes.
 */
export function codeKey(bytes: Uint8Array, from: number, to: number): CodeKey {
  if (to - from > LONGEST_COUNTED) return textOf(bytes, from, to)
  let key = 0
  for (let at = from; at < to; at++) {
    const digit = (bytes[at] as number) - FIRST + 1
    if (digit > COUNT) return textOf(bytes, from, to)
    key = key * COUNT + digit
  }
  return key
}

/** The code of the wire with this index, counted from 0: `!` to `~`, then two characters, and so on. */
export function codeAt(index: number): string {
  let code = ''
  for (let rest = index + 1; rest > 0; rest = Math.floor((rest - 1) / COUNT)) {
    code = String.fromCharCode(FIRST + ((rest - 1) % COUNT)) + code
  }
  return code
}
