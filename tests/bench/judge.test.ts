import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { corners } from '../../src/bench/corners.ts'
import { judge } from '../../src/bench/judge.ts'
import type { StatedAdapter } from '../../src/bench/judgement.ts'
import { maskOf } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbChart } from '../arbitraries.ts'
import { arbTitle } from './arbitrary-title.ts'
import { combinations, watch, wrongWith } from './watch.ts'

const FRAMES = 8

const arbRange = (min: number, max: number) =>
  fc.tuple(fc.integer({ min, max }), fc.integer({ min, max })).map(([p, q]) => ({
    minNs: Math.min(p, q),
    maxNs: Math.max(p, q),
  }))

const arbAdapter: fc.Arbitrary<StatedAdapter> = fc.record({
  replyNs: arbRange(0, 400),
  delayStretch: fc.constantFrom(0, 1),
  idleResetNs: arbRange(-200, 400),
})

/** Charts near the real ones, or anything. */
const arbTypicalProfile: fc.Arbitrary<Profile> = fc
  .record({
    base: fc.constantFrom(...Object.values(BUILT_IN_PROFILES)),
    chart: fc.option(arbChart, { freq: 3 }),
    startAgain: fc.boolean(),
    idleResetNs: fc.oneof(
      fc.integer({ min: 10_000, max: 120_000 }),
      fc.constant(1_500_000),
      fc.constant(20_000_000),
    ),
    delayNs: fc.constantFrom(0, 0, 0, 100, 400),
    vertical: fc.constantFrom(...OPPOSITE_POLICIES),
    horizontal: fc.constantFrom(...OPPOSITE_POLICIES),
  })
  .map(({ base, chart, startAgain, idleResetNs, delayNs, vertical, horizontal }) => ({
    ...base,
    chart: chart ?? (startAgain ? { ...base.chart, after: { kind: 'start-again' } } : base.chart),
    idleResetNs,
    delayNs,
    opposite: { vertical, horizontal },
  }))

/** All reads at all corners, each kind once: what the bench is meant to have looked at. */
const allReads = (profile: Profile, title: Title, adapter: StatedAdapter) => {
  const reads = corners(profile, title, adapter).flatMap((corner) => watch(title, corner, FRAMES))
  return [...new Map(reads.map((read) => [JSON.stringify(read), read])).values()]
}

describe('the bench against the port engine with every combination tried', () => {
  test('says misread exactly when some combination is misread at some corner', () => {
    let misreads = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbTitle, arbAdapter, (profile, title, adapter) => {
        const judgement = judge(profile, title, { adapter, marginNs: 200 })
        const reads = allReads(profile, title, adapter)
        if (judgement.counterexample !== null) {
          misreads++
          const held = maskOf(judgement.counterexample.held)
          // A look at the very instant of a change has no margin and may see either side of it.
          if (judgement.marginNs === 0) return
          expect(wrongWith(profile, title, reads, held), judgement.reason).toBe(true)
        } else {
          for (const held of combinations(profile)) {
            if (wrongWith(profile, title, reads, held)) expect.fail(`clean, but ${held} is misread`)
          }
        }
      }),
      { numRuns: 400 },
    )
    expect(misreads).toBeGreaterThan(20)
  })

  test('finds the smallest combination', () => {
    fc.assert(
      fc.property(arbTypicalProfile, arbTitle, arbAdapter, (profile, title, adapter) => {
        const { counterexample, marginNs } = judge(profile, title, { adapter, marginNs: 200 })
        if (counterexample === null || marginNs === 0) return
        const reads = allReads(profile, title, adapter)
        const count = (mask: number) => mask.toString(2).replaceAll('0', '').length
        for (const held of combinations(profile)) {
          if (count(held) < counterexample.held.length)
            expect(wrongWith(profile, title, reads, held)).toBe(false)
        }
      }),
      { numRuns: 150 },
    )
  })

  test('nothing goes wrong while replies and resets move by less than the margin', () => {
    let moved = 0
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbTitle,
        arbAdapter,
        fc.nat(),
        fc.boolean(),
        (profile, title, adapter, by, later) => {
          const { marginNs } = judge(profile, title, { adapter, marginNs: 200 })
          if (marginNs === null || marginNs <= 1) return
          const step = (1 + (by % Math.min(marginNs - 1, 5_000))) * (later ? 1 : -1)
          const shift = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => ({
            minNs: Math.max(-9_000, minNs + step),
            maxNs: Math.max(-9_000, maxNs + step),
          })
          const replies = shift(adapter.replyNs)
          if (replies.minNs >= 0) {
            const later = judge(profile, title, { adapter: { ...adapter, replyNs: replies }, marginNs: 200 })
            expect(later.verdict, later.reason).not.toBe('misread')
            moved++
          }
          const other = judge(profile, title, {
            adapter: { ...adapter, idleResetNs: shift(adapter.idleResetNs) },
            marginNs: 200,
          })
          expect(other.verdict, other.reason).not.toBe('misread')
        },
      ),
      { numRuns: 1_500 },
    )
    expect(moved).toBeGreaterThan(50)
  })
})

describe('verdict', () => {
  test('is settled by whole nanoseconds alone, whatever the title is called', () => {
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbTitle,
        arbAdapter,
        fc.integer({ min: 1, max: 3_000 }),
        (profile, title, adapter, asked) => {
          const { verdict, marginNs } = judge(
            profile,
            { ...title, fragile: true },
            { adapter, marginNs: asked },
          )
          if (marginNs !== null) expect(Number.isInteger(marginNs)).toBe(true)
          const spareNs = marginNs ?? Infinity
          expect(verdict).toBe(spareNs <= 0 ? 'misread' : spareNs < asked ? 'tight' : 'clean')
        },
      ),
      { numRuns: 300 },
    )
  })
})
