import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { PlannedBank } from '../../../src/bench/plan.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { BANKS } from '../../../src/profile/schema.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { checkProfile } from '../../../src/shelf/files.ts'
import type { ProfileEntry } from '../../../src/shelf/entry.ts'
import { copiesToKeep, nameForBank, onShelf } from '../../../src/ui/plan/finished.ts'
import { arbProfile } from '../../arbitraries.ts'

const kept = (document: Profile, at: number): ProfileEntry => ({
  kind: 'profile',
  id: `p${at}`,
  revision: 1,
  place: at,
  origin: 'own',
  document,
})

const inBanks = (profiles: readonly Profile[]): PlannedBank[] =>
  profiles.map((profile, at) => ({
    bank: BANKS[at] ?? 1,
    profile,
    candidate: at,
    titles: [],
    ways: [],
    back: null,
    firstCycle: null,
  }))

describe('a name with its bank', () => {
  it('is one that the schema takes, and tells the bank', () => {
    fc.assert(
      fc.property(arbProfile, fc.constantFrom(...BANKS), (profile, bank) => {
        const name = nameForBank(profile.name, bank)
        expect(checkProfile({ ...profile, name })).toMatchObject({ ok: true, value: { name } })
        expect(name.endsWith(`, bank ${bank}`)).toBe(true)
      }),
    )
  })

  it('is cut at a letter, not at a byte', () => {
    expect(nameForBank('Evening set-up', 2)).toBe('Evening set-up, bank 2')
    // 24 bytes are left before ", bank 3": eight of these three-byte letters.
    expect(nameForBank('灯'.repeat(10), 3)).toBe(`${'灯'.repeat(8)}, bank 3`)
  })
})

describe('the finished profiles of a plan', () => {
  const six = BUILT_IN_PROFILES['six-button']

  it('are found under any name, by their own before others', () => {
    const shelf = [kept({ ...six, name: 'Tern' }, 0), kept(six, 1)]
    expect(onShelf(six, shelf)?.id).toBe('p1')
    expect(onShelf({ ...six, name: 'Gull' }, shelf)?.id).toBe('p0')
    expect(onShelf({ ...six, powerOn: [] }, shelf)).toBeNull()
  })

  it('are copied once: what is on the shelf then needs no copy', () => {
    fc.assert(
      fc.property(fc.array(arbProfile, { minLength: 1, maxLength: 4 }), fc.nat(4), (finished, there) => {
        const shelf = finished.slice(0, there).map(kept)
        const copies = copiesToKeep(inBanks(finished), shelf)
        expect(copies.length).toBeLessThanOrEqual(finished.length - Math.min(there, finished.length))
        const then = [...shelf, ...copies.map((copy, at) => kept(copy, 10 + at))]
        expect(copiesToKeep(inBanks(finished), then)).toEqual([])
        for (const copy of copies) expect(checkProfile(copy).ok).toBe(true)
      }),
    )
  })
})
