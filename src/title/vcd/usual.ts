import type { CodeKey } from './code.ts'
import { SHORT_CODES, codeAt } from './code.ts'

const LINE_FEED = 0x0a
const CARRIAGE_RETURN = 0x0d

/** Bits of what {@link usualCodes} says: the code is declared, is that of the wire, and does not end in a line feed right there. */
const DECLARED = 1
export const IS_WIRE = 2
export const GOES_ON = 4

/**
 * Looks up the two bytes after a level, the first times 256 and the second: either the code of a declared wire, or a code of one byte
 * and what may end its line. 0 for anything else, which is for the word machine to judge.
 */
export function usualCodes(codes: ReadonlySet<CodeKey>, wire: CodeKey): Uint8Array {
  const table = new Uint8Array(2 ** 16)
  for (const key of codes) {
    if (typeof key === 'string' || key > SHORT_CODES) continue
    const code = codeAt(key - 1)
    const first = code.charCodeAt(0) << 8
    const found = DECLARED | (key === wire ? IS_WIRE : 0)
    if (code.length === 1) {
      table[first | LINE_FEED] = found
      table[first | CARRIAGE_RETURN] = found | GOES_ON
    } else {
      table[first | code.charCodeAt(1)] = found | GOES_ON
    }
  }
  return table
}
