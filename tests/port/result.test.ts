import fc from 'fast-check'
import { expect, it } from 'vitest'
import { err, ok } from '../../src/port/result.ts'
import type { Result } from '../../src/port/result.ts'

it('gives back what was put in, on its own side only, whatever it is', () => {
  const sides = (result: Result<unknown, unknown>) =>
    result.ok ? { value: [result.value], error: [] } : { value: [], error: [result.error] }
  fc.assert(
    fc.property(fc.anything(), (something) => {
      expect(sides(ok(something))).toStrictEqual({ value: [something], error: [] })
      expect(sides(err(something))).toStrictEqual({ value: [], error: [something] })
    }),
  )
})
