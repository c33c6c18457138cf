import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Chart } from '../../src/port/chart.ts'
import { PortEngine } from '../../src/port/engine.ts'
import type { PinChange, Pins } from '../../src/port/engine.ts'
import { SIX_BUTTON_CHART } from '../../src/port/family.ts'
import type { InputMask, Level } from '../../src/port/pins.ts'
import {
  LEVEL_CODES,
  UNKNOWN_PINS,
  heldPinChanges,
  holdInputs,
  replyToEdges,
} from '../../src/port/reply-to-edges.ts'
import type { SelectEdges } from '../../src/port/reply-to-edges.ts'
import { arbChart, arbInputMask, arbSelectSequence } from '../arbitraries.ts'
import type { SelectSequence } from '../arbitraries.ts'
import { ChartReplier } from './replier.ts'
import { draws, often } from '../draws.ts'

const IDLE_NS = 1_500_000

const edgesOf = ({ startLevel, steps }: SelectSequence): SelectEdges => ({
  startLevel: LEVEL_CODES[startLevel],
  atNs: Float64Array.from(steps, (step) => step.atNs),
  levels: Uint8Array.from(steps, (step) => LEVEL_CODES[step.level]),
})

const numberOf = (pins: Pins): number => pins ?? UNKNOWN_PINS

interface Run {
  readonly chart: Chart
  readonly held: InputMask
  readonly idleResetNs: number
  readonly delayNs: number
  readonly select: SelectSequence
  readonly endNs: number
}

/**
 * Select to and fro as a read does it, where many an edge comes at the very instant at which the idle reset is due, or one
 * nanosecond beside it.
 */
const arbTies = (idleResetNs: number): fc.Arbitrary<SelectSequence> =>
  fc
    .record({
      startLevel: fc.constantFrom<Level>('low', 'high'),
      waits: fc.array(
        fc.oneof(
          { weight: 4, arbitrary: fc.record({ from: fc.constant('edge'), ns: fc.nat(900) }) },
          {
            weight: 1,
            arbitrary: fc.record({ from: fc.constant('reset'), ns: fc.integer({ min: -1, max: 1 }) }),
          },
        ),
        { maxLength: 40 },
      ),
    })
    .map(({ startLevel, waits }) => {
      let atNs = 1
      let level = startLevel
      let resetNs = 1
      const steps = waits.map(({ from, ns }) => {
        atNs = Math.max(atNs, from === 'reset' ? resetNs + ns : atNs + ns)
        level = level === 'low' ? 'high' : 'low'
        if (level === 'high') resetNs = atNs + idleResetNs
        return { atNs, level }
      })
      return { startLevel, steps }
    })

/** Random charts, held inputs, idle resets and select lines, unknown at times, some steps at one instant. */
const arbRun: fc.Arbitrary<Run> = fc
  .record({
    chart: arbChart,
    held: arbInputMask,
    idleResetNs: fc.constantFrom(2_999, 10_000, IDLE_NS),
    delayNs: fc.constantFrom(0, 1, 8, 56, 4_000, 2 * IDLE_NS),
    unknown: fc.boolean(),
    ties: fc.boolean(),
  })
  .chain(({ unknown, ties, ...port }) =>
    fc
      .record({
        select: ties ? arbTies(port.idleResetNs) : arbSelectSequence(port.idleResetNs, unknown),
        moreNs: fc.oneof(
          fc.integer({ min: 0, max: 3 * port.idleResetNs }),
          fc.constantFrom(0, port.idleResetNs - 1, port.idleResetNs, port.idleResetNs + 1),
        ),
      })
      .map(({ select, moreNs }) => ({ ...port, select, endNs: (select.steps.at(-1)?.atNs ?? 1) + moreNs })),
  )

function engineFor({ chart, held, idleResetNs, delayNs, select }: Run): PortEngine {
  const replier = new ChartReplier(chart, idleResetNs, delayNs)
  replier.held = held
  return new PortEngine(replier, select.startLevel)
}

describe('against the port engine', () => {
  it('the pins after each edge, and the resets that change them', () => {
    let ties = 0
    let seen = 0
    fc.assert(
      fc.property(arbRun, (run) => {
        const engine = engineFor({ ...run, delayNs: 0 })
        const wantedPins: number[] = []
        const wantedResets: { atNs: number; afterEdge: number; pins: number }[] = []
        const letTimePass = (toNs: number, afterEdge: number) => {
          const { nextResetNs } = engine
          if (nextResetNs === null || nextResetNs > toNs) return
          const before = engine.pins
          engine.advance(nextResetNs)
          if (engine.pins !== before)
            wantedResets.push({ atNs: nextResetNs, afterEdge, pins: numberOf(engine.pins) })
        }
        run.select.steps.forEach(({ atNs, level }, k) => {
          if (engine.nextResetNs === atNs && engine.level === 'low' && level === 'high') ties++
          letTimePass(atNs, k - 1)
          engine.select(atNs, level)
          wantedPins.push(numberOf(engine.pins))
        })
        letTimePass(run.endNs, run.select.steps.length - 1)

        const pinsAfter = new Uint8Array(run.select.steps.length)
        const resets = replyToEdges(
          holdInputs(run.chart, run.held),
          run.idleResetNs,
          edgesOf(run.select),
          run.endNs,
          pinsAfter,
        )
        expect([...pinsAfter]).toEqual(wantedPins)
        expect(resets).toEqual(wantedResets)
        seen += resets.length
      }),
      { numRuns: draws(3_000) },
    )
    // The runs hold what is hard: rises at the very instant of a reset, and resets that show.
    expect(ties).toBeGreaterThan(often(100))
    expect(seen).toBeGreaterThan(often(1_000))
  })

  it('every change of the pins, with a deliberate delay as well', () => {
    fc.assert(
      fc.property(arbRun, (run) => {
        const engine = engineFor(run)
        for (const { atNs, level } of run.select.steps) engine.select(atNs, level)
        engine.advance(run.endNs)
        const ours: PinChange[] = [
          ...heldPinChanges(holdInputs(run.chart, run.held), run, edgesOf(run.select), run.endNs),
        ]
        expect(ours).toEqual(engine.changes)
      }),
      { numRuns: draws(3_000) },
    )
  })
})

describe('edges at hand', () => {
  const run = (atNs: number[], levels: number[], endNs: number) => {
    const replies = holdInputs(SIX_BUTTON_CHART, 0)
    const pinsAfter = new Uint8Array(atNs.length)
    const edges = { startLevel: 0, atNs: Float64Array.from(atNs), levels: Uint8Array.from(levels) }
    return { resets: replyToEdges(replies, IDLE_NS, edges, endNs, pinsAfter), pinsAfter: [...pinsAfter] }
  }

  it('tells the reset out of the identification, which no edge shows', () => {
    const { resets, pinsAfter } = run([1_000, 2_000, 3_000, 4_000], [1, 0, 1, 0], 3_000 + IDLE_NS)
    expect(pinsAfter).toEqual([0b111111, 0b110011, 0b111111, 0b110000])
    expect(resets).toEqual([{ atNs: 3_000 + IDLE_NS, afterEdge: 3, pins: 0b110011 }])
    expect(run([1_000, 2_000, 3_000, 4_000], [1, 0, 1, 0], 3_000 + IDLE_NS - 1).resets).toEqual([])
  })

  it('counts a rise at the very instant of a reset after it', () => {
    const tie = run([1_000, 2_000, 1_000 + IDLE_NS, 2_000 + IDLE_NS], [1, 0, 1, 0], 3_000 + IDLE_NS)
    expect(tie.pinsAfter[3]).toBe(0b110011)
    const before = run([1_000, 2_000, IDLE_NS + 999, 2_000 + IDLE_NS], [1, 0, 1, 0], 3_000 + IDLE_NS)
    expect(before.pinsAfter[3]).toBe(0b110000)
  })

  it('answers nothing to nothing', () => {
    expect(run([], [], 10 * IDLE_NS)).toEqual({ resets: [], pinsAfter: [] })
  })
})
