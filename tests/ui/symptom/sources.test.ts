import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { ProfileEntry } from '../../../src/shelf/entry.ts'
import { sourcesFrom } from '../../../src/ui/symptom/sources.ts'

const kept = (name: string, at: number): ProfileEntry => ({
  kind: 'profile',
  id: `p${at}`,
  revision: 1,
  place: at,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['six-button'], name },
})

describe('profiles to turn to', () => {
  it('are all but the open one, the own ones first, each under a name of its own', () => {
    const names = fc.array(fc.constantFrom('Gull', 'Gull (2)', 'Tern', 'Six buttons'), { minLength: 1 })
    fc.assert(
      fc.property(names, (all) => {
        const sources = sourcesFrom(all.map(kept), 'p0')
        const builtIn = Object.keys(BUILT_IN_PROFILES).length
        expect(sources.map(({ id }) => id)).toEqual([
          ...all.slice(1).map((_, at) => `p${at + 1}`),
          ...Array.from({ length: builtIn }, () => null),
        ])
        expect(new Set(sources.map(({ name }) => name)).size).toBe(sources.length)
        for (const { name, profile } of sources) expect(name.startsWith(profile.name)).toBe(true)
      }),
    )
  })
})
