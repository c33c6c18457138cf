import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { setCell, stopAfter } from '../../src/profile/chart-commands.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { differences } from '../../src/shelf/difference.ts'
import { arbProfile } from '../arbitraries.ts'
import { draws } from '../draws.ts'

const six = BUILT_IN_PROFILES['six-button']

describe('in what two profiles differ', () => {
  it('is nothing exactly when their images are equal', () => {
    const pair = fc.oneof(
      fc.tuple(arbProfile, arbProfile),
      arbProfile.map((profile) => [profile, { ...profile, notes: 'others' }] as const),
    )
    fc.assert(
      fc.property(pair, ([a, b]) => {
        const equal = Buffer.from(encodeImage(a)).equals(Buffer.from(encodeImage(b)))
        expect(differences(a, b).length === 0).toBe(equal)
        expect(differences(b, a).length === 0).toBe(equal)
      }),
      { numRuns: draws(500) },
    )
  })

  it('counts cells and names the rest', () => {
    const one = setCell(six.chart, { cycle: 2, level: 'low', pin: 1 }, 'up')
    expect(differences(six, { ...six, chart: one })).toEqual(['1 cell'])
    // Two cycles that are gone and the reply that moved: 24 cells, less those that happen to be equal.
    expect(differences(six, { ...six, chart: stopAfter(six.chart, 2) })[0]).toMatch(/^\d+ cells$/)
    expect(differences(six, { ...six, name: 'Other', idleResetNs: 1_400_000 })).toEqual([
      'the name',
      'the idle reset',
    ])
    expect(differences(six, { ...six, mapping: { ...six.mapping, a: [], b: [] } })).toEqual([
      '2 mapped inputs',
    ])
  })
})
