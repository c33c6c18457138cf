import fc from 'fast-check'
import { expect, it } from 'vitest'
import { sameJson } from '../../src/document/same-json.ts'
import { draws } from '../draws.ts'

const shuffled = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(shuffled)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, inner]) => [key, shuffled(inner)]),
  )
}
/** As a file would tell them apart, were keys in order. */
const canonical = (value: unknown): string =>
  JSON.stringify(value, (_, inner: unknown) =>
    typeof inner === 'object' && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([p], [q]) => (p < q ? -1 : 1)))
      : inner,
  )

it('sees through the order of keys, and nothing else', () => {
  const json = fc.jsonValue({ maxDepth: 3 }).map((value) => JSON.parse(JSON.stringify(value)) as unknown)
  fc.assert(
    fc.property(json, json, (a, b) => {
      expect(sameJson(a, shuffled(a))).toBe(true)
      expect(sameJson(a, b)).toBe(canonical(a) === canonical(b))
    }),
    { numRuns: draws(2_000) },
  )
  expect(sameJson({ a: undefined }, { b: undefined })).toBe(false)
  expect(sameJson([], {})).toBe(false)
})
