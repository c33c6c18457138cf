import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explain } from '../../src/bench/explain.ts'
import { explored } from '../../src/bench/explored.ts'
import { judge } from '../../src/bench/judge.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { maskOf } from '../../src/port/pins.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
import { drawsFrom, limits, play } from './play.ts'
import { combinations, wrongWith } from './watch.ts'
import type { Seen } from './watch.ts'
import { drawsOf } from './witness-draws.ts'

const arbReader = arbTitle.map((title): Title => ({ ...title, takesOpposite: true }))

describe('what select counted before the first read', () => {
  test('spoils no more reads than is said, and where it stays, a timing shows it', () => {
    const kinds = { right: 0, settles: 0, stays: 0, shown: 0 }
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, fc.nat(), (profile, title, adapter, seed) => {
        const box = boxOf(profile, title, adapter)
        const { leftOver } = weighTitle(profile, title, box, explored(title, profile.chart, box))
        if (leftOver === null) return
        const within = limits(profile, title, adapter)
        if (leftOver.kind === 'stays') {
          kinds.stays++
          expect(judge(profile, title, { adapter, marginNs: 200 }).verdict).toBe('misread')
          const explanation = explain(profile, title, { adapter })
          if (explanation === null || explanation.witness.isOnEdge) return
          const { witness, example } = explanation
          const { rises, resetNs } = witness.before
          const reads = play(title, drawsOf(witness, title, within), example.place.frame, {
            rises,
            resetNs: resetNs ?? Infinity,
          })
          const guilty = reads[witness.reads.length - 1] ?? []
          if (example.phantom.length + example.missed.length === 0 || example.cause === 'belief') return
          kinds.shown++
          expect(wrongWith(profile, title, [guilty], maskOf(example.held))).toBe(true)
          return
        }
        kinds[leftOver.reads === 0 ? 'right' : 'settles']++
        const reads = new Map<string, Seen[]>()
        for (let k = 0; k < 8; k++) {
          const rises = (seed + k) % (profile.chart.cycles.length + 1)
          const resetNs = (seed * (k + 1)) % (within.idle.maxNs + 1)
          const draws = drawsFrom(within, seed + k * 7919, (k % 4) / 3)
          for (const read of play(title, draws, 8, { rises, resetNs }).slice(leftOver.reads))
            reads.set(JSON.stringify(read), read)
        }
        for (const held of combinations(profile))
          if (wrongWith(profile, title, [...reads.values()], held))
            expect.fail(`${held} is misread after ${leftOver.reads} reads`)
      }),
      { numRuns: 600 },
    )
    expect(kinds.right).toBeGreaterThan(0)
    expect(kinds.settles).toBeGreaterThan(4)
    expect(kinds.shown).toBeGreaterThan(0)
  })

  test('stays for good where the chart starts again and no idle reset comes, and is called a misread', () => {
    const six = BUILT_IN_PROFILES['six-button']
    const profile = {
      ...six,
      idleResetNs: 50_000_000,
      chart: { ...six.chart, after: { kind: 'start-again' as const } },
    }
    // Four cycles a read bring the count round; what was there before stays in it.
    const title = demoReader(4)
    const adapter = {
      replyNs: { minNs: 32, maxNs: 100 },
      delayStretch: 1,
      idleResetNs: { minNs: 0, maxNs: 220 },
      clockPpm: 100,
    }
    const { verdict, findings } = judge(profile, title, { adapter, marginNs: 200 })
    expect(verdict).toBe('misread')
    expect(findings[0]).toMatchObject({ kind: 'left-over', weight: 'misread' })
    // With the usual reset each frame begins afresh.
    const usual = judge({ ...profile, idleResetNs: 1_500_000 }, title, { adapter, marginNs: 200 })
    expect(usual.verdict).toBe('clean')
    expect(usual.findings[0]).toMatchObject({ kind: 'left-over', weight: 'note' })
  })
})

/** One read a frame of so many cycles that samples the first as a three-button pad. */
const demoReader = (cyclesPerRead: number): Title => ({
  format: 'ninepin-title',
  version: 2,
  name: 'Reader',
  notes: '',
  fragile: false,
  standard: '525-line',
  readOffsetsNs: [250_000],
  readJitterNs: 0,
  clockPpm: 0,
  cyclesPerRead,
  edgeSpacingNs: { minNs: 4_000, maxNs: 4_500 },
  sampleAfterEdgeNs: { minNs: 2_000, maxNs: 2_600 },
  rest: 'high',
  drive: { kind: 'driven' },
  samples: [
    {
      cycle: 1,
      level: 'high',
      pins: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' },
      when: 'always',
    },
    { cycle: 1, level: 'low', pins: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, when: 'always' },
  ],
  sixButtons: { kind: 'never' },
  takesOpposite: true,
})
