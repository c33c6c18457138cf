import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Verdict } from '../../src/bench/judgement.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { CABLES } from '../../src/port/cable.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
import { titleOfFields } from './short-titles.ts'
import { draws, often } from '../draws.ts'

describe('the cable in the box', () => {
  test('adds to the reply that the adapter states at its connector, and to nothing else', () => {
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbTitle,
        arbAdapter,
        fc.constantFrom(...CABLES),
        (profile, title, adapter, cable) => {
          const { reply, ...rest } = boxOf(profile, title, { ...adapter, cable })
          const { reply: shortReply, ...shortRest } = boxOf(profile, title, { ...adapter, cable: 'short' })
          expect(rest).toEqual(shortRest)
          const { minNs, maxNs } = adapter.replyNs
          const slowestNs = maxNs + profile.delayNs * (1 + adapter.delayStretch)
          expect(shortReply).toEqual({ minNs: minNs + profile.delayNs, maxNs: slowestNs + 10 })
          // 1.5 m both ways, no faster than light; 58 ns of the data line and 20 ns of select.
          if (cable === 'long')
            expect(reply).toEqual({ minNs: minNs + profile.delayNs + 10, maxNs: slowestNs + 78 })
          if (cable === 'unknown')
            expect(reply).toEqual({ minNs: minNs + profile.delayNs, maxNs: slowestNs + 78 })
        },
      ),
    )
  })

  test('is not known before anybody says', () => {
    expect(REFERENCE_ADAPTER.cable).toBe('unknown')
  })

  test('no cable that may be there reads worse than one that is not known', () => {
    const rank: Readonly<Record<Verdict, number>> = { clean: 0, tight: 1, undecided: 2, misread: 3 }
    let apart = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbTitle, arbAdapter, (profile, title, adapter) => {
        const judged = (cable: (typeof CABLES)[number]) =>
          judge(profile, title, { adapter: { ...adapter, cable }, marginNs: 200 })
        const unknown = judged('unknown')
        for (const cable of ['short', 'long'] as const) {
          const known = judged(cable)
          expect(rank[known.verdict], `${cable}: ${known.reason}`).toBeLessThanOrEqual(rank[unknown.verdict])
          // How deep in a wrong reply a sample stands is no measure of how bad a misread is.
          if (unknown.verdict !== 'misread')
            expect(known.marginNs ?? Infinity).toBeGreaterThanOrEqual(unknown.marginNs ?? Infinity)
          if (known.marginNs !== unknown.marginNs) apart++
        }
      }),
      { numRuns: draws(500) },
    )
    expect(apart).toBeGreaterThan(often(100))
  })

  test('a title that samples 150 ns after the edge is right behind a plug only', () => {
    const title = titleOfFields({
      name: 'Early',
      notes: '',
      fragile: false,
      standard: '525-line',
      readOffsetsNs: [90_000],
      readJitterNs: 0,
      clockPpm: 100,
      cyclesPerRead: 1,
      edgeSpacingNs: { minNs: 2_000, maxNs: 2_000 },
      sampleAfterEdgeNs: { minNs: 150, maxNs: 200 },
      rest: 'high',
      drive: { kind: 'driven' },
      samples: [{ cycle: 1, level: 'low', pins: { 6: 'a' }, when: 'always' }],
      sixButtons: { kind: 'never' },
      takesOpposite: true,
    })
    const judged = CABLES.map((cable) => {
      const adapter = { ...REFERENCE_ADAPTER, cable }
      const { verdict, marginNs } = judge(BUILT_IN_PROFILES['three-button'], title, { adapter, marginNs: 0 })
      return [cable, verdict, marginNs]
    })
    expect(judged).toEqual([
      ['short', 'clean', 40],
      ['long', 'misread', -28],
      ['unknown', 'misread', -28],
    ])
  })
})
