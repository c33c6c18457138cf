import fc from 'fast-check'
import { describe, expect, it, test } from 'vitest'
import { judgeCapture } from '../../src/bench/judge-capture.ts'
import { judgeLine } from '../../src/bench/judge-line.ts'
import type { EdgeLine } from '../../src/bench/judge-line.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { cycleAt, phaseAt, pinsOf, repliesOf } from '../../src/port/chart.ts'
import type { Chart, Cycle, Phase } from '../../src/port/chart.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { ALL_INPUTS, INPUTS, inputBit } from '../../src/port/pins.ts'
import type { Level } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { HIGH, LOW, UNKNOWN } from '../../src/title/select-line.ts'
import type { SelectLine } from '../../src/title/select-line.ts'
import { everyPlay, playEdges } from '../reference/play-edges.ts'
import { draws, often } from '../draws.ts'

const plain: Phase = BUILT_IN_PROFILES['three-button'].chart.cycles[0]?.low as Phase
const other: Phase = { ...plain, 9: 'z' }
const arbPhase = fc.constantFrom(plain, plain, other)
const arbCycle: fc.Arbitrary<Cycle> = fc.record({ high: arbPhase, low: arbPhase })
const arbChart: fc.Arbitrary<Chart> = fc.record({
  cycles: fc.array(arbCycle, { minLength: 1, maxLength: 4 }),
  after: fc.oneof(
    fc.constant({ kind: 'start-again' as const }),
    arbCycle.map((reply) => ({ kind: 'stay' as const, reply })),
  ),
})

const idleResetNs = 50_000
/** An exact clock, so that the range is told by these figures alone. */
const arbAdapter = fc
  .record({ soonerNs: fc.integer({ min: 0, max: 300 }), laterNs: fc.integer({ min: 0, max: 400 }) })
  .map(({ soonerNs, laterNs }) => ({
    adapter: {
      ...REFERENCE_ADAPTER,
      clockPpm: 0,
      replyNs: { minNs: soonerNs, maxNs: 1_000 },
      idleResetNs: { minNs: 0, maxNs: laterNs },
    },
    // 100 ppm for the analyser that the line was captured with, rounded up.
    reset: {
      minNs: idleResetNs - soonerNs - Math.ceil((idleResetNs - soonerNs) / 10_000),
      maxNs: idleResetNs + laterNs + Math.ceil((idleResetNs + laterNs) / 10_000),
    },
  }))
type Range = { readonly minNs: number; readonly maxNs: number }

/** Close together, far apart, and by a hair on either side of both ends of the idle reset; halves of it add up to it over two edges. */
const arbGap = ({ minNs, maxNs }: Range): fc.Arbitrary<number> =>
  fc.oneof(
    { weight: 4, arbitrary: fc.integer({ min: 1, max: 3_000 }) },
    {
      weight: 4,
      arbitrary: fc
        .tuple(fc.constantFrom(minNs, maxNs), fc.integer({ min: -1, max: 1 }))
        .map(([ns, off]) => ns + off),
    },
    { weight: 2, arbitrary: fc.integer({ min: minNs, max: maxNs }) },
    // With a gap of 1 µs or with another half, exactly from one rise to the next.
    {
      weight: 2,
      arbitrary: fc.constantFrom(1_000, 1_000, minNs - 1_000, maxNs - 1_000, minNs - 1_001, maxNs - 1_001),
    },
    { weight: 1, arbitrary: fc.integer({ min: minNs >> 1, max: (maxNs >> 1) + 1 }) },
    { weight: 1, arbitrary: fc.constant(3 * maxNs) },
  )

const arbLevel = fc.constantFrom<Level>('low', 'high')

interface Case {
  readonly adapter: typeof REFERENCE_ADAPTER
  readonly reset: Range
  readonly chart: Chart
  readonly line: EdgeLine & { readonly edgesNs: readonly number[] }
}

const arbCase = (maxLength: number): fc.Arbitrary<Case> =>
  arbAdapter.chain(({ adapter, reset }) =>
    fc
      .record({
        chart: arbChart,
        startLevel: arbLevel,
        gaps: fc.array(arbGap(reset), { maxLength }),
        sinceRiseNs: fc.option(arbGap(reset)),
        startNs: fc.integer({ min: 0, max: 100_000 }),
      })
      .map(({ chart, startLevel, gaps, sinceRiseNs, startNs }) => {
        let atNs = startNs
        return {
          adapter,
          reset,
          chart,
          line: { startLevel, sinceRiseNs, edgesNs: gaps.map((gap) => (atNs += gap)) },
        }
      }),
  )

const levelOf = (startLevel: Level, edge: number): Level =>
  (startLevel === 'high') === (edge % 2 === 1) ? 'high' : 'low'

/** Edges whose phases are answered otherwise than in the first cycle in one play at least. */
function wrongEdges({ chart, line, reset }: Case, counts: readonly number[]): Set<number> {
  const wrong = new Set<number>()
  const risenByNs = (line.edgesNs[0] ?? 0) - (line.sinceRiseNs ?? 0)
  for (const played of everyPlay({ ...line, chart }, counts, risenByNs, reset))
    playEdges(played).forEach((cycle, edge) => {
      const level = levelOf(line.startLevel, edge)
      if (cycle?.[level][9] !== chart.cycles[0]?.[level][9]) wrong.add(edge)
    })
  return wrong
}

/** Those that only a count from before the line spoils. */
function spoiltByCount(one: Case): number[] {
  const counts = repliesOf(one.chart).map((_, count) => count)
  const anyway = wrongEdges(one, [0])
  return [...wrongEdges(one, counts)].filter((edge) => !anyway.has(edge))
}

const HELD = [0, ALL_INPUTS, ...INPUTS.map(inputBit)]

describe('a line judged by itself', () => {
  test('is dangerous from the very edge at which a play first answers otherwise, and settles where counts from before spoil no more', () => {
    const met = { danger: 0, none: 0, settles: 0, never: 0 }
    fc.assert(
      fc.property(arbCase(7), (one) => {
        const { chart, line, adapter } = one
        const { danger, settlesAfterEdges } = judgeLine({ chart, idleResetNs }, line, adapter)
        const first = Math.min(...wrongEdges(one, [0]))
        expect(danger?.edge ?? Infinity).toBe(first)
        if (danger !== null) {
          const { edge, atNs, level, row } = danger
          expect({ atNs, level }).toEqual({ atNs: line.edgesNs[edge], level: levelOf(line.startLevel, edge) })
          expect(repliesOf(chart)[row]?.[level]).not.toEqual(chart.cycles[0]?.[level])
        }
        const after = Math.max(-1, ...spoiltByCount(one)) + 1
        expect(settlesAfterEdges).toBe(after > 0 && after === line.edgesNs.length ? null : after)
        met[danger === null ? 'none' : 'danger']++
        met[settlesAfterEdges === null ? 'never' : 'settles']++
      }),
      { numRuns: draws(3_000) },
    )
    expect(Math.min(...Object.values(met))).toBeGreaterThan(often(100))
  })

  test('is right about every short line: every chart of three cycles, every gap at either end of the reset', () => {
    const adapter = { ...REFERENCE_ADAPTER, clockPpm: 0, replyNs: { minNs: 10, maxNs: 10 } }
    const reset = { minNs: 49_985, maxNs: 50_000 + adapter.idleResetNs.maxNs + 6 }
    const cycles: Cycle[] = [plain, other].flatMap((high) => [plain, other].map((low) => ({ high, low })))
    const charts = cycles.flatMap((second) =>
      cycles.flatMap((third): Chart[] => {
        const chart = [{ high: plain, low: plain }, second, third]
        return [
          { cycles: chart, after: { kind: 'start-again' } },
          { cycles: chart.slice(0, 2), after: { kind: 'stay', reply: third } },
        ]
      }),
    )
    const gaps = [1_000, ...[reset.minNs, reset.maxNs].flatMap((ns) => [ns - 1_001, ns - 1_000, ns])]
    let lines: number[][] = [[]]
    const all: number[][] = [...lines]
    for (let length = 1; length <= 4; length++) {
      lines = lines.flatMap((line) => gaps.map((gap) => [...line, (line.at(-1) ?? 0) + gap]))
      all.push(...lines)
    }
    for (const edgesNs of all)
      for (const startLevel of ['low', 'high'] as const)
        for (const chart of charts) {
          const line = { startLevel, edgesNs, sinceRiseNs: null }
          const one = { chart, adapter, reset, line }
          const { danger, settlesAfterEdges } = judgeLine({ chart, idleResetNs }, line, adapter)
          const after = Math.max(-1, ...spoiltByCount(one)) + 1
          const found = [danger?.edge ?? Infinity, settlesAfterEdges]
          const known = [
            Math.min(...wrongEdges(one, [0])),
            after > 0 && after === edgesNs.length ? null : after,
          ]
          if (found.some((value, k) => value !== known[k]))
            expect.fail(JSON.stringify({ one, found, known }, null, 1))
        }
  }, 60_000)

  test('hides nothing that the port in time answers, in the midst of its phases or at their ends, whatever is held', () => {
    let later = 0
    fc.assert(
      fc.property(arbCase(40), fc.nat(), (one, draw) => {
        const { chart, line, adapter, reset } = one
        const { danger } = judgeLine({ chart, idleResetNs }, line, adapter)
        for (const resetNs of [
          reset.minNs,
          reset.maxNs,
          reset.minNs + (draw % (reset.maxNs - reset.minNs + 1)),
        ]) {
          const engine = new PortEngine(
            { idleResetNs: resetNs, delayNs: 0, pinsAt: () => 0, readEnded: () => undefined },
            line.startLevel,
          )
          line.edgesNs.forEach((atNs, edge) => {
            const level = levelOf(line.startLevel, edge)
            engine.select(atNs, level)
            const endNs = (line.edgesNs[edge + 1] ?? atNs + 2 * reset.maxNs) - 1
            for (const lookNs of [atNs, Math.floor((atNs + endNs) / 2), endNs]) {
              engine.advance(lookNs)
              const differs = HELD.some(
                (held) =>
                  pinsOf(phaseAt(chart, engine.rises, level), held) !==
                  pinsOf(cycleAt(chart, 0)[level], held),
              )
              if (!differs) continue
              later++
              expect(danger?.edge ?? Infinity).toBeLessThanOrEqual(edge)
            }
          })
        }
      }),
      { numRuns: draws(500) },
    )
    expect(later).toBeGreaterThan(often(100))
  })

  it('has nothing to say where there is no edge', () => {
    const line = { startLevel: 'high', edgesNs: [], sinceRiseNs: null } as const
    expect(judgeLine(BUILT_IN_PROFILES['six-button'], line, REFERENCE_ADAPTER)).toEqual({
      danger: null,
      settlesAfterEdges: 0,
    })
  })

  it('meets the identification in the third low of a read, and not after a frame of rest (port table in DEVELOPERS.md)', () => {
    const edgesNs = [0, 3_000, 6_000, 9_000, 12_000]
    const six = BUILT_IN_PROFILES['six-button']
    const long = { startLevel: 'high', edgesNs, sinceRiseNs: null } as const
    expect(judgeLine(six, long, REFERENCE_ADAPTER)).toMatchObject({
      danger: { edge: 4, level: 'low', row: 2 },
    })
    const two = [0, 3_000, 6_000, 9_000]
    const frames = [0, 1, 2, 3].flatMap((frame) => two.map((ns) => ns + frame * 16_700_000))
    expect(judgeLine(six, { ...long, edgesNs: frames }, REFERENCE_ADAPTER)).toMatchObject({
      danger: null,
      settlesAfterEdges: 4,
    })
  })
})

/** A line as it is captured; where the level is not known it stands as `x`. */
const captured = (levels: string, timesNs: readonly number[]): SelectLine => ({
  timesNs: Float64Array.from(timesNs),
  levels: Uint8Array.from(levels, (level) => (level === 'x' ? UNKNOWN : level === '1' ? HIGH : LOW)),
  startNs: timesNs[0] ?? 0,
  endNs: (timesNs.at(-1) ?? 0) + 1_000,
  sampledNs: null,
  glitches: { count: 0, firstNs: 0 },
  pulsesNs: new Float64Array(),
  unknown: { count: 0, firstNs: 0 },
  undriven: { count: 0, firstNs: 0 },
  full: false,
})

describe('a capture judged by itself', () => {
  const arbCapture = arbCase(9).map((one) => {
    const { startLevel, edgesNs, sinceRiseNs } = one.line
    const startNs = 0
    const line = { startLevel, edgesNs, sinceRiseNs: (edgesNs[0] ?? 0) - startNs }
    const levels = ['', ...edgesNs].map((_, k) => ((startLevel === 'high') === (k % 2 === 0) ? '1' : '0'))
    return { ...one, line, levels, timesNs: [startNs, ...edgesNs], was: sinceRiseNs }
  })

  test('is what its edges are, from its beginning on', () => {
    fc.assert(
      fc.property(arbCapture, ({ chart, adapter, line, levels, timesNs }) => {
        const profile = { chart, idleResetNs }
        const judged = judgeCapture(profile, captured(levels.join(''), timesNs), adapter)
        const { danger, settlesAfterEdges } = judgeLine(profile, line, adapter)
        expect(judged.danger).toEqual(danger && { kind: 'later', ...danger })
        expect(judged.settlesAfterEdges).toBe(settlesAfterEdges)
        expect(judged.byCount).toBe(danger === null && settlesAfterEdges !== null ? 'clean' : 'undecided')
      }),
      { numRuns: draws(500) },
    )
  })

  test('can have any count after a level that is not known', () => {
    let dangers = 0
    fc.assert(
      fc.property(arbCapture, fc.nat(), ({ chart, adapter, line, levels, timesNs }, draw) => {
        const at = draw % timesNs.length
        if (at === 0) return
        const blurred = levels.map((level, k) => (k === at ? 'x' : level))
        const profile = { chart, idleResetNs }
        const judged = judgeCapture(profile, captured(blurred.join(''), timesNs), adapter)
        const before = judgeLine(profile, { ...line, edgesNs: line.edgesNs.slice(0, at - 1) }, adapter)
        const hasLater = repliesOf(chart).some((reply) =>
          (['low', 'high'] as const).some((level) => reply[level][9] !== chart.cycles[0]?.[level][9]),
        )
        const unknown = hasLater ? { kind: 'unknown', atNs: timesNs[at] } : null
        expect(judged.danger).toEqual(before.danger ? { kind: 'later', ...before.danger } : unknown)
        if (unknown !== null) dangers++
        const known = before.danger ?? unknown
        expect(judged.byCount).toBe(
          known === null && judged.settlesAfterEdges !== null ? 'clean' : 'undecided',
        )
        expect(judged.settlesAfterEdges).toBe(hasLater ? null : before.settlesAfterEdges)
      }),
      { numRuns: draws(500) },
    )
    expect(dangers).toBeGreaterThan(often(50))
  })

  it('can have any count after a pulse that a pad can count or miss, and only then', () => {
    const line = { ...captured('101', [0, 10_000, 20_000]), glitches: { count: 1, firstNs: 15_000 } }
    const judged = (name: 'six-button' | 'three-button') =>
      judgeCapture(BUILT_IN_PROFILES[name], line, REFERENCE_ADAPTER)
    expect(judged('six-button')).toMatchObject({
      byCount: 'undecided',
      danger: { kind: 'glitch', atNs: 15_000 },
    })
    expect(judged('three-button')).toMatchObject({ byCount: 'clean', danger: null })
  })

  it('takes edges to be as far off as the samples are apart', () => {
    const six = BUILT_IN_PROFILES['six-button']
    // Two cycles, then a pause by a hair longer than any idle reset, then two more.
    const pauseNs = six.idleResetNs + 2_000
    const times = [0, 10_000, 13_000, 16_000, 19_000].map((ns) => ns + 5_000_000)
    const again = [0, 3_000, 6_000].map((ns) => 5_019_000 + pauseNs + ns)
    const line = captured('10101010', [...times, ...again])
    expect(judgeCapture(six, line, REFERENCE_ADAPTER).danger).toBeNull()
    expect(judgeCapture(six, { ...line, sampledNs: 10_000 }, REFERENCE_ADAPTER).danger).not.toBeNull()
  })

  it('is open where edges were left out, but not for a pad that always answers the same', () => {
    const line = { ...captured('101', [0, 10_000, 20_000]), full: true }
    const { 'six-button': six, 'three-button': three } = BUILT_IN_PROFILES
    expect(judgeCapture(six, line, REFERENCE_ADAPTER)).toMatchObject({
      byCount: 'undecided',
      cutAtNs: 21_000,
    })
    expect(judgeCapture(three, line, REFERENCE_ADAPTER)).toMatchObject({ byCount: 'clean' })
  })

  it('counts nothing before the first level that is known', () => {
    const { danger, edges } = judgeCapture(
      BUILT_IN_PROFILES['six-button'],
      captured('x101', [0, 10_000, 20_000, 30_000]),
      REFERENCE_ADAPTER,
    )
    expect({ danger, edges }).toEqual({ danger: null, edges: 2 })
  })
})
