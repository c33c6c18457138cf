import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MAX_CYCLES } from '../../src/port/chart.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Entry, ProfileEntry } from '../../src/shelf/entry.ts'
import { resolve } from '../../src/shelf/resolve.ts'
import type { Stored } from '../../src/shelf/resolve.ts'
import { draws } from '../draws.ts'

const SIX = BUILT_IN_PROFILES['six-button']
const entry = (
  change: Partial<ProfileEntry> = {},
  document: Partial<ProfileEntry['document']> = {},
): ProfileEntry => ({
  kind: 'profile',
  id: 'a',
  revision: 3,
  place: 0,
  origin: 'own',
  ...change,
  document: { ...SIX, ...document },
})

const arbEntry = fc
  .record({
    revision: fc.integer({ min: 1, max: 4 }),
    origin: fc.constantFrom('own' as const, 'demo' as const),
    name: fc.constantFrom('One', 'Two'),
    notes: fc.constantFrom('', 'Noted.'),
  })
  .map(({ revision, origin, name, notes }) => entry({ revision, origin }, { name, notes }))
const arbStored: fc.Arbitrary<Stored> = fc.oneof(
  fc.constant({ kind: 'nothing' as const }),
  fc.constant({ kind: 'unreadable' as const }),
  arbEntry.map((one) => ({ kind: 'entry' as const, entry: one })),
)

describe('what a write becomes', () => {
  it('lowers no revision, overwrites nothing that cannot be read, and loses no field that one side alone changed', () => {
    const arbMaybe = fc.option(arbEntry)
    fc.assert(
      fc.property(arbMaybe, arbMaybe, arbStored, (base, ours, stored) => {
        const made = resolve(base, ours, stored, () => 'new')
        const there: Entry | null = stored.kind === 'entry' ? stored.entry : null
        if (stored.kind === 'unreadable') {
          // The demo comes from files and needs no copy.
          expect(made.kind).toBe(ours?.origin === 'own' ? 'fork' : 'adopt')
        }
        if (made.kind === 'adopt') expect(made.entry).toEqual(there)
        if (made.kind === 'delete') expect([ours, there]).toEqual([null, base])
        if (made.kind === 'fork') {
          expect(made).toMatchObject({ there, entry: { ...ours, id: 'new' } })
          expect(ours?.origin).toBe('own')
        }
        if (made.kind !== 'put') return
        expect(made.entry.revision).toBeGreaterThanOrEqual(
          Math.max(there?.revision ?? 0, ours?.revision ?? 0),
        )
        if (!there || !base || !ours) return
        for (const field of ['name', 'notes'] as const) {
          const [b, o, t, now] = [base, ours, there, made.entry].map(({ document }) => document[field])
          expect(now, field).toBe(o === b ? t : o)
        }
      }),
      { numRuns: draws(3_000) },
    )
  })

  it('is a copy where the two together are no document', () => {
    const { chart } = SIX
    const { cycles, after } = chart
    const [first] = cycles
    if (!first || after.kind !== 'stay') throw new Error('the six-button chart is another one')
    const again = { kind: 'start-again' as const }
    const base = entry({}, { chart: { cycles, after: again } })
    // As many cycles as only a chart that starts again may have, and in the other tab one that stays.
    const most = Array.from({ length: MAX_CYCLES['start-again'] }, () => first)
    const theirs = entry({ revision: 4 }, { chart: { cycles: most, after: again } })
    const ours = entry({ revision: 4 }, { chart: { cycles, after } })
    const made = resolve(base, ours, { kind: 'entry', entry: theirs }, () => 'new')
    expect(made).toEqual({ kind: 'fork', entry: { ...ours, id: 'new' }, there: theirs })
  })
})
