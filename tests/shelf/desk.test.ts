import fc from 'fast-check'
import { expect, it } from 'vitest'
import { EMPTY_DESK, readDesk } from '../../src/shelf/desk.ts'
import { draws } from '../draws.ts'

it('reads a desk as it was kept', () => {
  const desk = {
    ...EMPTY_DESK,
    seeded: true,
    visited: true,
    openId: 'p',
    marginNs: 350,
    sheet: 'blueprint' as const,
    adapters: { 'N9-1': { label: 'left', layoutIds: ['a'] }, 'N9-2': { label: '', layoutIds: null } },
  }
  expect(readDesk(structuredClone(desk))).toEqual(desk)
})

it('keeps what can be read of a damaged one', () => {
  expect(readDesk({ visited: true, marginNs: -1, openId: 7, lastFlash: 'yesterday' })).toEqual({
    ...EMPTY_DESK,
    visited: true,
  })
})

it('gives a desk, whatever was stored', () => {
  fc.assert(
    fc.property(fc.anything(), (stored) => {
      expect(Object.keys(readDesk(stored)).sort()).toEqual(Object.keys(EMPTY_DESK).sort())
    }),
    { numRuns: draws(2_000) },
  )
})
