/** A set of small whole numbers, 32 to a word: what the search for a plan counts all the time. */
export type BitSet = Uint32Array

export const bitSet = (size: number, has: (k: number) => boolean): BitSet => {
  const set = new Uint32Array(Math.ceil(size / 32))
  for (let k = 0; k < size; k++) if (has(k)) set[k >> 5] = word(set, k >> 5) | (1 << (k & 31))
  return set
}

const word = (set: BitSet, at: number): number => set[at] ?? 0

export const hasBit = (set: BitSet, k: number): boolean => ((word(set, k >> 5) >>> (k & 31)) & 1) === 1

export const union = (p: BitSet, q: BitSet): BitSet => p.map((bits, at) => bits | word(q, at))

export const countBits = (set: BitSet): number => set.reduce((sum, bits) => sum + ones(bits), 0)

/** How many of `set` are not in `known`. */
export function countNew(set: BitSet, known: BitSet): number {
  let sum = 0
  for (let at = 0; at < set.length; at++) sum += ones(word(set, at) & ~word(known, at))
  return sum
}

/** Set bits of a word, added up in pairs, in fours, and so on. */
function ones(bits: number): number {
  let n = bits - ((bits >>> 1) & 0x55555555)
  n = (n & 0x33333333) + ((n >>> 2) & 0x33333333)
  n = (n + (n >>> 4)) & 0x0f0f0f0f
  return Math.imul(n, 0x01010101) >>> 24
}
