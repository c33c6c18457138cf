import fc from 'fast-check'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbChart } from '../arbitraries.ts'

const arbRange = (min: number, max: number) =>
  fc.tuple(fc.integer({ min, max }), fc.integer({ min, max })).map(([p, q]) => ({
    minNs: Math.min(p, q),
    maxNs: Math.max(p, q),
  }))

export const arbAdapter: fc.Arbitrary<CabledAdapter> = fc.record({
  replyNs: arbRange(0, 400),
  delayStretch: fc.constantFrom(0, 1),
  idleResetNs: arbRange(-200, 400),
  clockPpm: fc.constantFrom(0, 100, 5_000),
  cable: fc.constantFrom('short', 'long', 'unknown'),
})

/** Charts near the real ones, or anything. */
export const arbTypicalProfile: fc.Arbitrary<Profile> = fc
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
