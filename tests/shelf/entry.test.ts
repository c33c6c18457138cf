import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isEntryKey, keyOf, newId, readEntry } from '../../src/shelf/entry.ts'
import type { ProfileEntry } from '../../src/shelf/entry.ts'
import { arbProfile } from '../arbitraries.ts'
import { arbitraryLayout } from '../pad/arbitrary-layout.ts'
import { draws } from '../draws.ts'

const kept = (document: ProfileEntry['document']): ProfileEntry => ({
  kind: 'profile',
  id: 'p',
  revision: 3,
  place: 1,
  origin: 'own',
  document,
})

describe('a record of the shelf', () => {
  it('comes back as it was put there', () => {
    fc.assert(
      fc.property(arbProfile, (profile) => {
        const record: unknown = structuredClone(kept(profile))
        expect(readEntry(record)).toEqual({ ok: true, value: kept(profile) })
      }),
      { numRuns: draws(200) },
    )
  })

  it('comes back as a layout where it is one', () => {
    fc.assert(
      fc.property(arbitraryLayout(), (document) => {
        const layout = { kind: 'layout', id: 'l', revision: 1, place: 0, origin: 'own', document } as const
        expect(readEntry(structuredClone(layout))).toEqual({ ok: true, value: layout })
      }),
      { numRuns: draws(100) },
    )
  })

  it('is refused with a sentence when it is damaged, whatever it is', () => {
    fc.assert(
      fc.property(fc.anything(), (record) => {
        const read = readEntry(record)
        expect(read.ok).toBe(false)
      }),
      { numRuns: draws(2_000) },
    )
    const future = { ...kept({} as never), document: { format: 'ninepin-profile', version: 99 } }
    expect(readEntry(future)).toMatchObject({ ok: false, error: { place: 'version' } })
  })

  it('has a key that tells its kind', () => {
    expect(keyOf({ kind: 'title', id: 'x' })).toBe('title:x')
    expect(['profile:a', 'title:b', 'layout:c'].every(isEntryKey)).toBe(true)
    expect(['desk', 'side:demo-banks', 'profile:', 7, null].some(isEntryKey)).toBe(false)
  })

  it('gets an id of its own', () => {
    expect(new Set(Array.from({ length: 1_000 }, newId)).size).toBe(1_000)
  })
})
