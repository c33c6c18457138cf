import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { judge } from '../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { TITLE_LIMITS } from '../../src/title/title-limits.ts'
import { titleOfFields } from './short-titles.ts'

const frame = frameNs('525-line')

/** As much as a file can hold: many reads, in each the most cycles, samples everywhere, spacings from next to nothing on. */
const worst = (reads: number, cycles: number, fields: Partial<ShortTitle>): Title => {
  const maxNs = Math.floor((frame / reads) * (0.9 / (2 * cycles)))
  const levels = ['high', 'low'] as const
  const samples = Array.from({ length: 2 * cycles }, (_, k) => ({
    cycle: Math.floor(k / 2) + 1,
    level: levels[k % 2],
    pins: { 1: 'up' },
  }))
  return titleOfFields({
    name: 'Worst',
    notes: '',
    fragile: false,
    standard: '525-line',
    readOffsetsNs: Array.from({ length: reads }, (_, k) => Math.floor((k * frame) / reads)),
    readJitterNs: 0,
    clockPpm: 100,
    cyclesPerRead: cycles,
    edgeSpacingNs: { minNs: 100, maxNs },
    sampleAfterEdgeNs: { minNs: 0, maxNs: 94 },
    rest: 'low',
    drive: { kind: 'driven' },
    samples: samples,
    sixButtons: { kind: 'never' },
    takesOpposite: true,
    ...fields,
  })
}

const CYCLES = TITLE_LIMITS.cyclesPerRead
const READS = TITLE_LIMITS.readsPerFrame
const released = (minNs: number, maxNs: number): Partial<ShortTitle> => ({
  drive: { kind: 'released', riseNs: { minNs, maxNs } },
})

describe('the worst that a file can hold', () => {
  const again = { ...BUILT_IN_PROFILES['six-button'].chart, after: { kind: 'start-again' as const } }
  const profile = (idleResetNs: number): Profile => ({
    ...BUILT_IN_PROFILES['six-button'],
    chart: again,
    idleResetNs,
  })
  test.each([
    [
      'rises that are lost or not, and a reset that is later than a frame',
      worst(2, CYCLES, released(60_000, 1_000_000)),
      20_000_000,
    ],
    [
      'as many reads and cycles as there can be, and a reset within the read',
      worst(READS, CYCLES, {}),
      300_000,
    ],
    ['resets between any two edges', worst(READS, 3, { readJitterNs: 50_000 }), 10_000],
    ['a reset at the frame', worst(READS, 4, released(10_000, 400_000)), frame],
    [
      'as many reads and cycles as there can be, let go',
      worst(READS, CYCLES, released(1_000, 30_000)),
      1_500_000,
    ],
  ])('is followed to its end: %s', (_, title, idleResetNs) => {
    const { chart, ...times } = profile(idleResetNs)
    const { samples, isExact, reach } = explored(title, chart, boxOf(times, title, REFERENCE_ADAPTER))
    expect(isExact).toBe(true)
    expect(reach.count).toBeLessThan(50_000)
    expect(samples.length).toBeGreaterThan(scheduleOf(title).samples.length)
  })
})

/** The rule of ties: a sample at the very instant of a change may meet either side of it. */
test('a sample at the place of its read can meet what the last reply of the read before has not yet replaced', () => {
  // Reads 40 ns apart, replies from 32 to 40 ns, samples at the instant of their phase: the fall that ends one read can still be on
  // its way when the next read samples its first phase.
  const title = titleOfFields({
    name: 'Tie',
    notes: '',
    fragile: false,
    standard: '525-line',
    readOffsetsNs: [0, 200 + 40],
    readJitterNs: 0,
    clockPpm: 0,
    cyclesPerRead: 1,
    edgeSpacingNs: { minNs: 100, maxNs: 100 },
    sampleAfterEdgeNs: { minNs: 0, maxNs: 0 },
    rest: 'high',
    drive: { kind: 'driven' },
    samples: [{ cycle: 1, level: 'high', pins: { 1: 'up', 6: 'b' } }],
    sixButtons: { kind: 'never' },
    takesOpposite: true,
  })
  const adapter = {
    replyNs: { minNs: 23, maxNs: 30 },
    delayStretch: 0,
    idleResetNs: { minNs: 0, maxNs: 0 },
    clockPpm: 0,
    // 10 ns more at the most: 40 ns at the console.
    cable: 'short',
  } as const
  const { verdict, marginNs } = judge(BUILT_IN_PROFILES['three-button'], title, { adapter, marginNs: 200 })
  expect([verdict, marginNs]).toEqual(['misread', 0])
})
