import { describe, expect, test } from 'vitest'
import { CYCLE_NS } from '../../../src/adapter/emulator/timeline.ts'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Chart, Phase } from '../../../src/port/chart.ts'
import { PINS } from '../../../src/port/pins.ts'
import type { Level } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import { mostLatePhases, phasesIn } from '../../../src/profile/sweep.ts'
import type { LatePhase, Sweep } from '../../../src/profile/sweep.ts'
import { Chance } from './differential.ts'
import { Rig } from './rig.ts'

const MS = 1_000_000
const US = 1_000
const [LEAST, MOST] = [4, 6]

/** Pins of a phase that no other phase has: its number, and pin 9 as the level of select. */
const numbered = (number: number, level: Level): Phase =>
  Object.fromEntries(
    PINS.map((pin, k) => [pin, k < 5 ? ((number >> k) & 1 ? 'high' : 'low') : level]),
  ) as unknown as Phase

const chartOf = (rows: number): Chart => ({
  cycles: Array.from({ length: rows }, (_, row) => ({
    high: numbered(2 * row, 'high'),
    low: numbered(2 * row + 1, 'low'),
  })),
  after: { kind: 'start-again' },
})

const SLOW: Omit<Sweep, 'phases'> = { input: 'a', firstNs: 16, stepNs: 104, steps: 3, onMs: 40, offMs: 30 }

const imageOf = (chart: Chart, sweep: Sweep) =>
  encodeImage({ ...BUILT_IN_PROFILES['six-button'], chart, idleResetNs: 10 * MS }, [], sweep)

/** Moves select, and gives the cycles until the pins change, which they do once. */
function answerCycles({ chip }: Rig, withinNs: number): number {
  chip.clearEdges()
  const atNs = chip.nowNs
  chip.setSelect(chip.select === 'high' ? 'low' : 'high')
  chip.runFor(withinNs)
  const [edge] = chip.edges
  if (edge === undefined || chip.edges.length > 1)
    throw new Error(`${chip.edges.length} changes for one edge`)
  return (edge.atNs - atNs) / CYCLE_NS
}

describe('late replies on the emulated chip', () => {
  test('come so many cycles later as the image says, in the phases that it names and in no others, whatever the chart', () => {
    const chance = new Chance(20_261_201)
    for (let draw = 0; draw < 25; draw++) {
      const rows = 1 + chance.below(5)
      const all = phasesIn((1 << (2 * rows)) - 1)
      const phases: LatePhase[] = all
        .map((phase) => ({ phase, order: chance.below(1000) }))
        .sort((a, b) => a.order - b.order)
        .slice(0, 1 + chance.below(mostLatePhases(rows)))
        .map(({ phase }) => phase)
      const late = 2 + chance.below(chance.below(3) === 0 ? 3749 : 200)
      const sweep = { ...SLOW, phases, firstNs: late * CYCLE_NS, stepNs: CYCLE_NS, steps: 1 }
      const rig = Rig.with([imageOf(chartOf(rows), sweep)])
      let rises = 0
      for (let edge = 0; edge < 4 * rows; edge++) {
        rig.chip.runFor(200 + CYCLE_NS * chance.below(50))
        const level = rig.chip.select === 'high' ? 'low' : 'high'
        if (level === 'high') rises++
        const row = rises % rows
        const isLate = phases.some((phase) => phase.row === row && phase.level === level)
        const cycles = answerCycles(rig, (late + 12) * CYCLE_NS) - (isLate ? late : 0)
        expect(cycles).toBeGreaterThanOrEqual(LEAST)
        expect(cycles).toBeLessThanOrEqual(MOST)
        expect(rig.chip.de9).toBe(((2 * row + (level === 'low' ? 1 : 0)) & 31) | (level === 'high' ? 32 : 0))
      }
    }
  })

  /** The first cycle of a three-button pad: its low phase, with A on pin 6, is late. */
  const LOW: LatePhase = { row: 0, level: 'low' }
  const FIRST: Chart = {
    cycles: BUILT_IN_PROFILES['three-button'].chart.cycles.slice(0, 1),
    after: { kind: 'start-again' },
  }
  const A_HELD = controlMask(['face-west'])
  const A_PIN = 1 << PINS.indexOf(6)
  const sweep: Sweep = { ...SLOW, phases: [LOW], firstNs: 400, stepNs: 1600, steps: 4, onMs: 40, offMs: 30 }

  /** Whether A shows in a low phase, and how much later it comes than select, in cycles. */
  function look(rig: Rig): { readonly shows: boolean; readonly lateNs: number } {
    const { chip } = rig
    chip.setSelect('high')
    chip.runFor(40 * US)
    const cycles = answerCycles(rig, 40 * US)
    const shows = (chip.de9 & A_PIN) === 0
    chip.setSelect('high')
    chip.runFor(40 * US)
    const lateNs = (cycles - MOST) * CYCLE_NS
    return { shows, lateNs: Math.ceil(lateNs / sweep.stepNs - 0.3) * sweep.stepNs }
  }

  test('come later step by step while the input is held, which is pressed and released in each; then not at all until it is let go', () => {
    const rig = Rig.with([imageOf(FIRST, sweep)])
    rig.connect()
    rig.becomePad()
    const nameOf = ({ shows, lateNs }: ReturnType<typeof look>) =>
      `${shows ? 'pressed' : 'released'} ${lateNs}`
    expect(nameOf(look(rig))).toBe('released 0')
    for (let again = 0; again < 2; again++) {
      rig.hold(A_HELD)
      const { nowNs } = rig.chip
      const seen: string[] = []
      for (let part = 0; part < 2 * sweep.steps + 2; part++) {
        const step = part >> 1
        const atNs = nowNs + (step * 70 + (part & 1 ? 55 : 20)) * MS
        rig.chip.runTo(atNs)
        seen.push(nameOf(look(rig)))
      }
      const steps = [0, 1, 2, 3].flatMap((step) => [`pressed ${step * 1600}`, `released ${step * 1600}`])
      expect(seen).toEqual([...steps, 'released 4800', 'released 4800'])
      rig.hold(0)
      rig.chip.runFor(5 * MS)
      expect(nameOf(look(rig))).toBe('released 0')
    }
  })

  test('an idle reset into a late phase shows as late as an edge into it', () => {
    const late = 250
    const chart: Chart = {
      cycles: [
        { high: numbered(0, 'high'), low: numbered(1, 'low') },
        { high: numbered(2, 'high'), low: numbered(3, 'low') },
      ],
      after: { kind: 'start-again' },
    }
    const idleResetNs = 100 * US
    const resets = (phases: readonly LatePhase[]) => {
      const profile = { ...BUILT_IN_PROFILES['six-button'], chart, idleResetNs }
      const { chip } = Rig.with([encodeImage(profile, [], { ...SLOW, phases, firstNs: late * CYCLE_NS })])
      return Array.from({ length: 20 }, (_, k) => {
        chip.setSelect('low')
        chip.runFor(20 * US + k * CYCLE_NS)
        chip.setSelect('high')
        const roseNs = chip.nowNs
        chip.runFor(20 * US)
        chip.setSelect('low')
        chip.runFor(20 * US)
        chip.clearEdges()
        chip.runFor(100 * US)
        if (chip.edges.length !== 1) throw new Error(`${chip.edges.length} changes at a reset`)
        chip.runFor(200 * US)
        return (chip.edges[0]?.atNs ?? 0) - roseNs - idleResetNs
      })
    }
    // The least that any image with late replies can have is two cycles: a phase that no reset leads to is late instead.
    const usual = resets([{ row: 1, level: 'low' }])
    const lateOnes = resets([{ row: 0, level: 'low' }])
    expect(Math.min(...lateOnes)).toBeGreaterThanOrEqual(late * CYCLE_NS)
    expect(Math.max(...lateOnes)).toBeLessThanOrEqual(Math.max(...usual) + (late + 3) * CYCLE_NS)
  })

  test('without them nothing is later than it was: an image without a sweep is answered in 4 to 6 cycles', () => {
    const chart = chartOf(6)
    const rig = Rig.with([encodeImage({ ...BUILT_IN_PROFILES['six-button'], chart, idleResetNs: 10 * MS })])
    const cycles = Array.from({ length: 60 }, () => answerCycles(rig, 800))
    expect([Math.min(...cycles), Math.max(...cycles)]).toEqual([LEAST, MOST])
  })
})
