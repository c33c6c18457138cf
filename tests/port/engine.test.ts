import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MAX_CYCLES } from '../../src/port/chart.ts'
import type { Chart } from '../../src/port/chart.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../../src/port/family.ts'
import { ALL_HIGH, ALL_INPUTS, INPUTS, PINS, inputBit } from '../../src/port/pins.ts'
import type { Level } from '../../src/port/pins.ts'
import { arbChart, arbGapNs, arbInputMask, arbSelectSequence } from '../arbitraries.ts'
import type { SelectSequence } from '../arbitraries.ts'
import { naiveChanges } from './naive-port.ts'
import type { NaivePort } from './naive-port.ts'
import { ChartReplier } from './replier.ts'
import { draws } from '../draws.ts'

const PHASE_NS = 5_000

/** Which inputs stand on the six pins now, found from outside by pressing one after the other. */
function readCells(engine: PortEngine, replier: ChartReplier): string[] {
  const pinsWith = (held: number): number => {
    replier.held = held
    return engine.pins ?? Number.NaN
  }
  const none = pinsWith(0)
  const cells = PINS.map((_, k) => {
    const found = INPUTS.filter((input) => ((none ^ pinsWith(inputBit(input))) >> k) & 1)
    return found.join('+') || ((none >> k) & 1 ? '1' : '0')
  })
  replier.held = 0
  return cells
}

/** An engine that rests at `rest`, and then sees so many edges. */
function afterEdges(chart: Chart, rest: Level, edges: number) {
  const replier = new ChartReplier(chart)
  const engine = new PortEngine(replier, rest)
  for (let k = 1; k <= edges; k++) {
    engine.select(k * PHASE_NS, (rest === 'high') === (k % 2 === 1) ? 'low' : 'high')
  }
  return { engine, replier }
}

/** The six-button table of port-facts, written out; what is not listed replies as the three-button pad. */
function expectedCells(level: Level, n: number): string[] {
  if (level === 'low' && n === 2) return ['0', '0', '0', '0', 'a', 'start']
  if (level === 'high' && n === 3) return ['z', 'y', 'x', 'mode', 'b', 'c']
  if (level === 'low' && n === 3) return ['1', '1', '1', '1', 'a', 'start']
  return level === 'high' ? ['up', 'down', 'left', 'right', 'b', 'c'] : ['up', 'down', '0', '0', 'a', 'start']
}

const STARTS_AGAIN: Chart = { ...SIX_BUTTON_CHART, after: { kind: 'start-again' } }

describe('the six-button reply, row by row', () => {
  for (const rest of ['high', 'low'] as const) {
    for (let edges = 0; edges <= 13; edges++) {
      // From rest high the first edge falls, from rest low it rises.
      const n = rest === 'high' ? Math.floor(edges / 2) : Math.ceil(edges / 2)
      const level = (rest === 'high') === (edges % 2 === 0) ? 'high' : 'low'

      it(`from rest ${rest}, edge ${edges}: select ${level}, n = ${n}`, () => {
        const stays = afterEdges(SIX_BUTTON_CHART, rest, edges)
        expect(stays.engine.rises).toBe(n)
        expect(stays.engine.level).toBe(level)
        expect(readCells(stays.engine, stays.replier)).toEqual(expectedCells(level, n))

        const again = afterEdges(STARTS_AGAIN, rest, edges)
        expect(readCells(again.engine, again.replier)).toEqual(expectedCells(level, n % 4))

        const three = afterEdges(THREE_BUTTON_CHART, rest, edges)
        expect(readCells(three.engine, three.replier)).toEqual(expectedCells(level, 0))
      })
    }
  }

  it('answers with pressed inputs low and the others high', () => {
    const { engine, replier } = afterEdges(SIX_BUTTON_CHART, 'high', 0)
    expect(engine.pins).toBe(ALL_HIGH)
    replier.held = inputBit('down') | inputBit('c') | inputBit('a')
    expect(engine.pins).toBe(0b011101)
    replier.held = ALL_INPUTS
    expect(engine.pins).toBe(0)
  })
})

describe('charts of one to six cycles', () => {
  /** A chart whose cycle `k` can be told by its pins: bit `k` is high. */
  const marked = (count: number, kind: 'stay' | 'start-again'): Chart => {
    const cycle = (k: number) => {
      const cells = Object.fromEntries(PINS.map((pin, bit) => [pin, bit === k ? 'high' : 'low']))
      return { high: cells, low: cells } as unknown as typeof THREE_BUTTON_CYCLE
    }
    const cycles = Array.from({ length: count }, (_, k) => cycle(k))
    return { cycles, after: kind === 'stay' ? { kind, reply: cycle(count) } : { kind } }
  }

  for (const kind of ['stay', 'start-again'] as const) {
    for (let count = 1; count <= MAX_CYCLES[kind]; count++) {
      it(`${count} with ${kind}`, () => {
        for (let n = 0; n <= 14; n++) {
          for (const extra of [0, 1]) {
            const { engine } = afterEdges(marked(count, kind), 'high', 2 * n + extra)
            expect(engine.pins).toBe(1 << (kind === 'stay' ? Math.min(n, count) : n % count))
          }
        }
      })
    }
  }
})

describe('idle reset', () => {
  const IDLE_NS = 1_500_000
  /** Two rises, then select is left at `level`; the second rise is at 3000. */
  const counted = (level: Level) => {
    const replier = new ChartReplier(SIX_BUTTON_CHART, IDLE_NS)
    const engine = new PortEngine(replier, 'low')
    engine.select(1_000, 'high')
    engine.select(2_000, 'low')
    engine.select(3_000, 'high')
    if (level === 'low') engine.select(4_000, 'low')
    return { engine, replier }
  }

  for (const level of ['low', 'high'] as const) {
    it(`comes on the spot with select ${level}`, () => {
      const { engine, replier } = counted(level)
      expect(engine.nextResetNs).toBe(3_000 + IDLE_NS)
      engine.advance(3_000 + IDLE_NS - 1)
      expect(engine.rises).toBe(2)
      expect(readCells(engine, replier)).toEqual(expectedCells(level, 2))
      expect(replier.reads).toBe(0)
      engine.advance(3_000 + IDLE_NS)
      expect(engine.rises).toBe(0)
      expect(engine.nextResetNs).toBeNull()
      expect(readCells(engine, replier)).toEqual(expectedCells(level, 0))
      expect(replier.reads).toBe(1)
    })
  }

  it('shows at the instant itself', () => {
    const { engine } = counted('low')
    engine.advance(10 * IDLE_NS)
    expect(engine.changes.at(-1)).toEqual({ atNs: 3_000 + IDLE_NS, pins: 0b110011 })
    expect(engine.changes.at(-2)).toEqual({ atNs: 4_000, pins: 0b110000 })
  })

  it('is put off by every rise, not by a fall', () => {
    const { engine } = counted('high')
    engine.select(1_000_000, 'low')
    expect(engine.nextResetNs).toBe(3_000 + IDLE_NS)
    engine.select(1_200_000, 'high')
    expect(engine.nextResetNs).toBe(1_200_000 + IDLE_NS)
    expect(engine.rises).toBe(3)
  })

  it('comes before a rise at the very same instant', () => {
    const { engine, replier } = counted('low')
    engine.select(3_000 + IDLE_NS, 'high')
    expect(engine.rises).toBe(1)
    expect(replier.reads).toBe(1)
    const early = counted('low')
    early.engine.select(3_000 + IDLE_NS - 1, 'high')
    expect(early.engine.rises).toBe(3)
    expect(early.replier.reads).toBe(0)
  })

  it('does not come without a rise, and only once after the last', () => {
    const replier = new ChartReplier(SIX_BUTTON_CHART, IDLE_NS)
    const engine = new PortEngine(replier, 'high')
    expect(engine.nextResetNs).toBeNull()
    engine.select(1_000, 'low')
    engine.advance(100 * IDLE_NS)
    expect(replier.reads).toBe(0)
    expect(engine.nextResetNs).toBeNull()
    engine.select(100 * IDLE_NS, 'high')
    expect(engine.nextResetNs).toBe(101 * IDLE_NS)
    engine.advance(200 * IDLE_NS)
    expect(replier.reads).toBe(1)
  })
})

describe('unknown levels', () => {
  it('give unknown pins, and no rise on either side', () => {
    const replier = new ChartReplier(SIX_BUTTON_CHART)
    const engine = new PortEngine(replier, 'unknown')
    expect(engine.pins).toBeNull()
    engine.select(10, 'high')
    engine.select(20, 'low')
    engine.select(30, 'unknown')
    engine.select(40, 'high')
    expect(engine.rises).toBe(0)
    engine.select(50, 'low')
    engine.select(60, 'high')
    expect(engine.rises).toBe(1)
    expect(engine.changes).toEqual([
      { atNs: 0, pins: null },
      { atNs: 10, pins: ALL_HIGH },
      { atNs: 20, pins: 0b110011 },
      { atNs: 30, pins: null },
      { atNs: 40, pins: ALL_HIGH },
      { atNs: 50, pins: 0b110011 },
      { atNs: 60, pins: ALL_HIGH },
    ])
  })

  it('let the idle reset come unseen', () => {
    const replier = new ChartReplier(SIX_BUTTON_CHART, 10_000)
    const engine = new PortEngine(replier, 'low')
    engine.select(100, 'high')
    engine.select(200, 'unknown')
    engine.advance(50_000)
    expect(replier.reads).toBe(1)
    expect(engine.changes.at(-1)).toEqual({ atNs: 200, pins: null })
  })
})

describe('where time begins', () => {
  it('may be anywhere, and the first entry tells it', () => {
    const engine = new PortEngine(new ChartReplier(THREE_BUTTON_CHART), 'low', 7_000)
    engine.select(7_000, 'high')
    expect(engine.changes).toEqual([{ atNs: 7_000, pins: ALL_HIGH }])
    expect(engine.rises).toBe(1)
  })

  it('a change that is taken back at the same instant never was', () => {
    const engine = new PortEngine(new ChartReplier(THREE_BUTTON_CHART), 'high')
    engine.select(500, 'low')
    engine.select(500, 'high')
    expect(engine.changes).toEqual([{ atNs: 0, pins: ALL_HIGH }])
    expect(engine.rises).toBe(1)
  })
})

interface Press {
  readonly atNs: number
  readonly held: number
}

/** Runs edges and presses through the engine; at the same instant the presses come first or last. */
function run(
  chart: Chart,
  idleResetNs: number,
  delayNs: number,
  select: SelectSequence,
  presses: Press[],
  endNs: number,
) {
  const replier = new ChartReplier(chart, idleResetNs, delayNs)
  const engine = new PortEngine(replier, select.startLevel)
  const events = [
    ...select.steps.map((step) => ({ atNs: step.atNs, act: () => engine.select(step.atNs, step.level) })),
    ...presses.map(({ atNs, held }) => ({
      atNs,
      act: () => engine.press(atNs, () => void (replier.held = held)),
    })),
  ].sort((a, b) => a.atNs - b.atNs)
  for (const event of events) event.act()
  engine.advance(endNs)
  return { changes: engine.changes, reads: replier.reads }
}

const arbRun = fc
  .record({
    chart: arbChart,
    idleResetNs: fc.constantFrom(10_000, 12_345, 1_500_000),
    delayNs: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 2_000 })),
    held: arbInputMask,
  })
  .chain((base) =>
    fc.record({
      base: fc.constant(base),
      select: arbSelectSequence(base.idleResetNs, true),
      presses: fc
        .array(fc.record({ gapNs: arbGapNs(base.idleResetNs), held: arbInputMask }), { maxLength: 8 })
        .map((gaps) => {
          let atNs = 0
          return gaps.map(({ gapNs, held }) => ({ atNs: (atNs += gapNs), held }))
        }),
    }),
  )
  .map(({ base, ...rest }) => ({ ...base, ...rest }))

const lastOf = (events: readonly { atNs: number }[]): number => events.at(-1)?.atNs ?? 0

describe('laws', () => {
  it('agrees with the naive port on every change', () => {
    fc.assert(
      fc.property(arbRun, ({ chart, idleResetNs, delayNs, select, presses }) => {
        const endNs = Math.max(lastOf(select.steps), lastOf(presses)) + 3 * idleResetNs
        const replier = new ChartReplier(chart)
        const port: NaivePort = {
          select,
          idleResetNs,
          delayNs,
          pinsAt: (rises, level, atNs) => {
            replier.held = presses.filter((press) => press.atNs <= atNs).at(-1)?.held ?? 0
            return replier.pinsAt(rises, level)
          },
        }
        const pressedAtNs = presses.map((press) => press.atNs)
        expect(run(chart, idleResetNs, delayNs, select, presses, endNs).changes).toEqual(
          naiveChanges(port, endNs, pressedAtNs),
        )
      }),
      { numRuns: draws(2_000) },
    )
  })

  it('the delay is a pure shift of all that select does', () => {
    fc.assert(
      fc.property(arbRun, ({ chart, idleResetNs, delayNs, select, held }) => {
        const endNs = lastOf(select.steps) + 3 * idleResetNs
        const still = [{ atNs: 0, held }]
        const plain = run(chart, idleResetNs, 0, select, still, endNs)
        const late = run(chart, idleResetNs, delayNs, select, still, endNs + delayNs)
        const [start, ...rest] = plain.changes
        expect(late.changes).toEqual([
          start,
          ...rest.map(({ atNs, pins }) => ({ atNs: atNs + delayNs, pins })),
        ])
        expect(late.reads).toBe(plain.reads)
      }),
      { numRuns: draws(1_000) },
    )
  })

  it('what is held shows at once, whatever the delay', () => {
    const replier = new ChartReplier(THREE_BUTTON_CHART, 1_500_000, 2_000)
    const engine = new PortEngine(replier, 'high')
    engine.select(1_000, 'low')
    engine.press(1_500, () => void (replier.held = inputBit('up') | inputBit('b')))
    expect(engine.changes.at(-1)).toEqual({ atNs: 1_500, pins: 0b101110 })
    engine.advance(5_000)
    expect(engine.changes.at(-1)).toEqual({ atNs: 3_000, pins: 0b110010 })
  })

  it('at most one change an instant, in order, each a real one', () => {
    fc.assert(
      fc.property(arbRun, ({ chart, idleResetNs, delayNs, select, presses }) => {
        const { changes } = run(
          chart,
          idleResetNs,
          delayNs,
          select,
          presses,
          lastOf(select.steps) + 3 * idleResetNs,
        )
        changes.forEach((change, k) => {
          const before = changes[k - 1]
          if (before === undefined) return
          expect(change.atNs).toBeGreaterThan(before.atNs)
          expect(change.pins).not.toBe(before.pins)
        })
      }),
    )
  })

  it('it makes no difference in how many steps time passes', () => {
    fc.assert(
      fc.property(arbRun, fc.array(fc.nat(5_000_000)), ({ chart, idleResetNs, delayNs, select }, stops) => {
        const endNs = lastOf(select.steps) + 3 * idleResetNs
        const replier = new ChartReplier(chart, idleResetNs, delayNs)
        const engine = new PortEngine(replier, select.startLevel)
        for (const { atNs, level } of select.steps) {
          for (const stop of [...stops].sort((a, b) => a - b)) if (stop < atNs) engine.advance(stop)
          engine.select(atNs, level)
        }
        engine.advance(endNs)
        expect(engine.changes).toEqual(run(chart, idleResetNs, delayNs, select, [], endNs).changes)
      }),
    )
  })
})
