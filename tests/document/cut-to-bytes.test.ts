import fc from 'fast-check'
import { expect, it } from 'vitest'
import { cutToBytes } from '../../src/document/cut-to-bytes.ts'

const bytesOf = (text: string): number => new TextEncoder().encode(text).length

it('gives the longest beginning that fits', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), fc.nat(24), (text, most) => {
      const cut = cutToBytes(text, most)
      expect(text.startsWith(cut)).toBe(true)
      expect(bytesOf(cut)).toBeLessThanOrEqual(most)
      const [next] = text.slice(cut.length)[Symbol.iterator]()
      if (next !== undefined) expect(bytesOf(cut + next)).toBeGreaterThan(most)
    }),
  )
})

it('cuts no character in two', () => {
  expect(cutToBytes('a𠮷', 4)).toBe('a')
  expect(cutToBytes('a𠮷', 5)).toBe('a𠮷')
})
