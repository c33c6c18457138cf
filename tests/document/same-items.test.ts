import fc from 'fast-check'
import { expect, it } from 'vitest'
import { sameItems } from '../../src/document/same-items.ts'
import { draws } from '../draws.ts'

it('holds two rows of bytes for the same exactly where their texts are', () => {
  const bytes = fc.uint8Array({ max: 2, maxLength: 4 })
  fc.assert(
    fc.property(bytes, bytes, (a, b) => {
      expect(sameItems(a, a.slice())).toBe(true)
      expect(sameItems(a, b)).toBe(a.join() === b.join())
    }),
    { numRuns: draws(2_000) },
  )
})

it('takes two objects that look alike for two', () => {
  const one = { name: 'Gull' }
  expect(sameItems([one], [one])).toBe(true)
  expect(sameItems([one], [{ ...one }])).toBe(false)
  expect(sameItems([one], [one, one])).toBe(false)
})
