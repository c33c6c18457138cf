import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explain } from '../../src/bench/explain.ts'
import { explored } from '../../src/bench/explored.ts'
import { judge } from '../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { maskOf } from '../../src/port/pins.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { drawsFrom, limits, play } from './play.ts'
import { combinations, wrongWith } from './watch.ts'
import type { Seen } from './watch.ts'
import { drawsOf } from './witness-draws.ts'
import { draws, often } from '../draws.ts'

/** Half of them sample the first cycle alone, as a three-button title does, so that many read right from power-on. */
const arbReader = fc.tuple(arbShort, fc.boolean()).map(([short, isPlain]): ShortTitle => {
  const { samples } = demoReader(1)
  const plain: Partial<ShortTitle> = { samples, sixButtons: { kind: 'never' }, drive: { kind: 'driven' } }
  return { ...short, ...(isPlain ? plain : {}), takesOpposite: true }
})

const six = BUILT_IN_PROFILES['six-button']
const goesRound: Profile = {
  ...six,
  idleResetNs: 50_000_000,
  chart: { ...six.chart, after: { kind: 'start-again' } },
}
const adapter = REFERENCE_ADAPTER

const chartOf = (name: keyof typeof BUILT_IN_PROFILES) => BUILT_IN_PROFILES[name].chart

describe('what select counted before the first read', () => {
  test('spoils no more reads than is said', () => {
    const kinds = { right: 0, settles: 0 }
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, fc.nat(), (profile, short, adapter, seed) => {
        const title = titleOfShort(short)
        const box = boxOf(profile, title, adapter)
        const { leftOver } = weighTitle(profile, title, box, explored(title, profile.chart, box))
        if (leftOver === null) return
        const within = limits(profile, short, adapter)
        if (leftOver.kind === 'stays') return
        kinds[leftOver.reads === 0 ? 'right' : 'settles']++
        const reads = new Map<string, Seen[]>()
        for (let k = 0; k < 8; k++) {
          const rises = (seed + k) % (profile.chart.cycles.length + 1)
          const resetNs = (seed * (k + 1)) % (within.idle.maxNs + 1)
          const draws = drawsFrom(within, seed + k * 7919, (k % 4) / 3)
          for (const read of play(short, draws, 8, { rises, resetNs }).slice(leftOver.reads))
            reads.set(JSON.stringify(read), read)
        }
        for (const held of combinations(profile))
          if (wrongWith(profile, short, [...reads.values()], held))
            expect.fail(`${held} is misread after ${leftOver.reads} reads`)
      }),
      { numRuns: draws(1_000) },
    )
    expect(kinds.right).toBeGreaterThan(often(20))
    expect(kinds.settles).toBeGreaterThan(often(5))
  })

  test('is shown by a timing where it stays', () => {
    let shown = 0
    const arbRange = fc.tuple(fc.integer({ min: 1_200, max: 9_000 }), fc.nat(300))
    fc.assert(
      fc.property(
        fc.constantFrom(4, 8, 12),
        arbRange,
        fc.nat(3_000),
        (cycles, [minNs, moreNs], readJitterNs) => {
          const edgeSpacingNs = { minNs, maxNs: minNs + moreNs }
          const sampleAfterEdgeNs = { minNs: 600, maxNs: 1_100 }
          const short = { ...demoReader(cycles), edgeSpacingNs, sampleAfterEdgeNs, readJitterNs }
          const title = titleOfShort(short)
          const { verdict, counterexample } = judge(goesRound, title, { adapter, marginNs: 200 })
          expect(verdict).toBe('misread')
          const explanation = explain(goesRound, title, { adapter })
          if (explanation === null || counterexample === null) expect.fail('it stays, so a timing shows it')
          const { witness, example } = explanation
          expect(example).toEqual(counterexample)
          const { rises, resetNs } = witness.before
          expect(rises).toBeGreaterThan(0)
          const before = { rises, resetNs: resetNs ?? Infinity }
          const within = limits(goesRound, short, adapter)
          const reads = play(short, drawsOf(witness, short, within), example.place.frame, before)
          const guilty = reads[witness.reads.length - 1] ?? []
          expect(wrongWith(goesRound, short, [guilty], maskOf(example.held))).toBe(true)
          shown++
        },
      ),
      { numRuns: 60 },
    )
    expect(shown).toBe(60)
  })

  test('stays for good where the chart starts again and no idle reset comes, and is called a misread', () => {
    // Four cycles a read bring the count round; what was there before stays in it.
    const title = titleOfShort(demoReader(4))
    const { verdict, findings } = judge(goesRound, title, { adapter, marginNs: 200 })
    expect(verdict).toBe('misread')
    expect(findings[0]).toMatchObject({ kind: 'left-over', weight: 'misread' })
    // With the usual reset each frame begins afresh.
    const usual = judge({ ...goesRound, idleResetNs: 1_500_000 }, title, { adapter, marginNs: 200 })
    expect(usual.verdict).toBe('clean')
    expect(usual.findings[0]).toMatchObject({ kind: 'left-over', weight: 'note' })
  })

  test('is told in the frame in which the timing that is shown reads, where frames are passed over', () => {
    const { modes, ...rest } = titleOfShort(demoReader(4))
    const title: Title = {
      ...rest,
      modes: modes.map((mode) => ({
        ...mode,
        reads: mode.reads.map((read) => ({
          ...read,
          starts: { ...read.starts, everyFrames: 2, inFrame: 1 },
        })),
      })),
    }
    const { counterexample } = judge(goesRound, title, { adapter, marginNs: 200 })
    const { example, witness } = explain(goesRound, title, { adapter }) ?? {}
    if (example === undefined || counterexample === null) expect.fail('it stays, so a timing shows it')
    expect(example).toEqual(counterexample)
    expect(witness?.reads.length).toBeGreaterThan(1)
    expect(witness?.reads.at(-1)?.placeNs).toBe((example.place.frame - 1) * frameNs(title.standard))
    expect((example.place.frame - 1) % 2).toBe(0)
  })

  test('goes wrong for as many reads as are said, over frames', () => {
    const [plain] = chartOf('three-button').cycles
    if (plain === undefined) expect.fail('a chart has a cycle')
    // Two cycles a frame and no idle reset: from power-on the even rows are sampled, from a count of one the odd ones, then what stays.
    const odd = { ...plain, low: { ...plain.low, 6: 'b' } } as const
    const profile: Profile = {
      ...six,
      idleResetNs: 50_000_000,
      chart: { cycles: [plain, odd, plain, odd, plain], after: { kind: 'stay', reply: plain } },
    }
    const low = { cycle: 1, level: 'low', pins: { 6: 'a' }, when: 'always' } as const
    const short = { ...demoReader(2), samples: [low] }
    const title = titleOfShort(short)
    const box = boxOf(profile, title, adapter)
    const { leftOver } = weighTitle(profile, title, box, explored(title, profile.chart, box))
    expect(leftOver).toMatchObject({ kind: 'settles', reads: 2 })
    const draws = drawsFrom(limits(profile, short, adapter), 1, 0)
    const rows = (rises: number) =>
      play(short, draws, 4, { rises, resetNs: Infinity }).map((read) => read.map((seen) => seen.rises))
    expect(rows(0)).toEqual([[0], [2], [4], [6]])
    expect(rows(1)).toEqual([[1], [3], [5], [7]])
  })

  describe('in front of a title that never moves select', () => {
    const polling = (everyNs: number): Title => {
      const { modes, ...rest } = titleOfShort(demoReader(1))
      const sample = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' } as const
      const after = { minNs: 2_000, maxNs: 2_000 }
      const gap = { minNs: everyNs - 2_000, maxNs: everyNs - 2_000 }
      const steps = [{ sample, after, since: 'step', when: 'always' }] as const
      return {
        ...rest,
        modes: modes.map((mode) => ({
          ...mode,
          reads: [{ starts: { kind: 'interval', after: gap }, steps: [...steps] }],
        })),
      }
    }
    const profile: Profile = { ...six, idleResetNs: 1_500_000 }

    test('goes wrong until its idle reset has come, and in no read after that', () => {
      const title = polling(20_000)
      const box = boxOf(profile, title, adapter)
      const { leftOver } = weighTitle(profile, title, box, explored(title, profile.chart, box))
      // The last sample before what the latest reset shows at the latest; each read samples 2 µs after its start.
      const reads = Math.floor((box.idleReset.maxNs + box.reply.maxNs - 2_000) / 20_000) + 1
      expect(reads).toBeGreaterThan(70)
      expect(leftOver).toMatchObject({ kind: 'settles', reads })
    })

    test('is not called wrong for ever where its reset comes later than reads are followed, but not decided', () => {
      const late = { ...profile, idleResetNs: 20_000_000 }
      const title = polling(20_000)
      const { verdict, findings, counterexample, hangsOn } = judge(late, title, { adapter, marginNs: 0 })
      expect(verdict).toBe('undecided')
      expect(hangsOn?.kind).toBe('budget')
      expect(counterexample).toBe(null)
      expect(findings[0]).toMatchObject({ kind: 'left-over', weight: 'doubt' })
      expect(findings[0]?.example?.place.rises).toBe(3)
      expect(findings[0]?.sentence).toMatch(/^Not decided: .* is not known to come right again\. /u)
      const explanation = explain(late, title, { adapter })
      expect(explanation?.witness.before.rises).toBe(3)
    })

    test('is right from the first read on where every reply is the same, whenever its reset comes', () => {
      const plain = BUILT_IN_PROFILES['three-button']
      const title = polling(20_000)
      const late = { ...plain, idleResetNs: 20_000_000 }
      expect(judge(late, title, { adapter, marginNs: 0 })).toMatchObject({ verdict: 'clean', marginNs: null })
    })
  })

  test('takes nothing from the margin once it has passed', () => {
    const [plain] = chartOf('three-button').cycles
    if (plain === undefined) expect.fail('a chart has a cycle')
    // Up and Down are the same at both levels, but for the rise to the third row, which only a count from before leads to.
    const third = { ...plain, high: { ...plain.high, 1: 'down', 2: 'up' } } as const
    const profile: Profile = {
      ...six,
      chart: { cycles: [plain, plain, third], after: { kind: 'stay', reply: plain } },
    }
    const low = { cycle: 1, level: 'low', pins: { 1: 'up', 2: 'down' }, when: 'always' } as const
    const title = titleOfShort({ ...demoReader(1), samples: [low] })
    const { verdict, marginNs } = judge(profile, title, { adapter, marginNs: 200 })
    const without = judge(BUILT_IN_PROFILES['three-button'], title, { adapter, marginNs: 200 })
    expect(verdict).toBe('clean')
    // Otherwise it is the time from the sample to the rise that ends its phase, 1.4 µs.
    expect(marginNs).toBe(without.marginNs)
    expect(marginNs ?? Infinity).toBeGreaterThan(4_500)
  })

  test('does not stay where its idle reset comes in every frame before the first sample', () => {
    // The last rise of a read is 16 µs after its place and its reset 0.5 to 4 µs after the next one: each frame begins with a reset to
    // come, as any count that is left over may have it, and that is before the first sample.
    const low = { cycle: 1, level: 'low', pins: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' } } as const
    const edgeSpacingNs = { minNs: 4_000, maxNs: 4_000 }
    const short: ShortTitle = { ...demoReader(2), edgeSpacingNs, samples: [{ ...low, when: 'always' }] }
    const title = titleOfShort(short)
    const profile = { ...six, idleResetNs: frameNs(title.standard) - 16_000 + 2_200 }
    const { verdict, findings } = judge(profile, title, { adapter, marginNs: 0 })
    const within = limits(profile, short, adapter)
    expect(16_000 + within.idle.minNs).toBeGreaterThan(frameNs(title.standard))
    for (let seed = 0; seed < 400; seed++) {
      const before = { rises: seed % 5, resetNs: (seed * 7919) % within.idle.maxNs }
      const reads = play(short, drawsFrom(within, seed, (seed % 3) / 2), 6, before)
      expect(reads.slice(1).every((seen) => seen.every(({ rises }) => rises === 0))).toBe(true)
    }
    expect(verdict).not.toBe('misread')
    expect(findings[0]).toMatchObject({ kind: 'left-over', weight: 'note' })
  })
})

/** One read a frame of so many cycles that samples the first as a three-button pad. */
const demoReader = (cyclesPerRead: number): ShortTitle => ({
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
  mode: '',
  sources: {},
  captures: [],
})
