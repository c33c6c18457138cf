import * as v from 'valibot'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CELLS, MAX_CYCLES } from '../../src/port/chart.ts'
import type { Chart } from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../../src/port/family.ts'
import { PINS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import {
  addCycle,
  plainCell,
  removeCycle,
  setAfter,
  setCell,
  sixButtons,
  stopAfter,
} from '../../src/profile/chart-commands.ts'
import type { CellRef } from '../../src/profile/chart-commands.ts'
import { ProfileSchema } from '../../src/profile/schema.ts'
import { arbCell, arbChart } from '../arbitraries.ts'
import { draws } from '../draws.ts'

const sound = (chart: Chart): boolean => v.is(ProfileSchema, { ...BUILT_IN_PROFILES['six-button'], chart })

const arbRef: fc.Arbitrary<CellRef> = fc.record({
  cycle: fc.oneof(fc.nat(6), fc.constant('after' as const)),
  level: fc.constantFrom('low', 'high'),
  pin: fc.constantFrom(...PINS),
})
const arbCommand: fc.Arbitrary<(chart: Chart) => Chart> = fc.oneof(
  fc.constantFrom(addCycle, sixButtons),
  fc.nat(6).map((cycle) => (chart: Chart) => removeCycle(chart, cycle)),
  fc
    .constantFrom('stay' as const, 'start-again' as const)
    .map((kind) => (chart: Chart) => setAfter(chart, kind)),
  fc.integer({ min: -2, max: 9 }).map((count) => (chart: Chart) => stopAfter(chart, count)),
  fc.tuple(arbRef, arbCell).map(
    ([ref, cell]) =>
      (chart: Chart) =>
        setCell(chart, ref, cell),
  ),
)

const cellAt = (chart: Chart, { cycle, level, pin }: CellRef) =>
  cycle === 'after'
    ? chart.after.kind === 'stay'
      ? chart.after.reply[level][pin]
      : undefined
    : chart.cycles[cycle]?.[level][pin]

const allRefs = (chart: Chart): CellRef[] =>
  [...chart.cycles.keys(), 'after' as const].flatMap((cycle) =>
    (['high', 'low'] as const).flatMap((level) => PINS.map((pin) => ({ cycle, level, pin }))),
  )

describe('whatever is done to a chart', () => {
  it('it stays a chart that the schema accepts, and the old one stays as it was', () => {
    fc.assert(
      fc.property(arbChart, fc.array(arbCommand, { maxLength: 15 }), (start, commands) => {
        let chart = start
        for (const command of commands) {
          const before = JSON.stringify(chart)
          const after = command(chart)
          expect(JSON.stringify(chart)).toBe(before)
          expect(sound(after)).toBe(true)
          chart = after
        }
      }),
      { numRuns: draws(500) },
    )
  })
})

describe('a cell', () => {
  it('is set in its place and nowhere else', () => {
    fc.assert(
      fc.property(arbChart, arbRef, arbCell, (chart, ref, cell) => {
        const there = cellAt(chart, ref) !== undefined
        const after = setCell(chart, ref, cell)
        if (there) expect(cellAt(after, ref)).toBe(cell)
        else expect(after).toEqual(chart)
        const same = (other: CellRef) =>
          other.cycle === ref.cycle && other.level === ref.level && other.pin === ref.pin
        for (const other of allRefs(chart))
          if (!same(other)) expect(cellAt(after, other)).toBe(cellAt(chart, other))
      }),
    )
  })

  it('set to what it was gives an equal chart', () => {
    fc.assert(
      fc.property(arbChart, arbRef, (chart, ref) => {
        expect(setCell(chart, ref, cellAt(chart, ref) ?? CELLS[0] ?? 'up')).toEqual(chart)
      }),
    )
  })

  it('is plain when a three-button pad carries it', () => {
    for (const ref of allRefs(THREE_BUTTON_CHART))
      expect(plainCell(ref)).toBe(cellAt(THREE_BUTTON_CHART, ref))
  })
})

describe('stop after', () => {
  it('keeps the cycles before, and three-button replies follow', () => {
    fc.assert(
      fc.property(arbChart, fc.integer({ min: -3, max: 12 }), (chart, count) => {
        const after = stopAfter(chart, count)
        const kept = Math.min(Math.max(count, 1), MAX_CYCLES.stay, chart.cycles.length)
        expect(after.cycles).toEqual(chart.cycles.slice(0, kept))
        expect(after.after).toEqual({ kind: 'stay', reply: THREE_BUTTON_CYCLE })
        expect(stopAfter(after, count)).toEqual(after)
      }),
    )
  })

  it('the second cycle of six buttons leaves a three-button pad', () => {
    const { cycles, after } = stopAfter(SIX_BUTTON_CHART, 2)
    expect(cycles).toEqual([THREE_BUTTON_CYCLE, THREE_BUTTON_CYCLE])
    expect(after).toEqual(THREE_BUTTON_CHART.after)
  })

  it('the sixth of six is too many for stay: five remain', () => {
    const six: Chart = {
      cycles: Array.from({ length: 6 }, () => THREE_BUTTON_CYCLE),
      after: { kind: 'start-again' },
    }
    expect(stopAfter(six, 6).cycles.length).toBe(5)
  })
})

describe('adding and removing', () => {
  it('a cycle goes behind the last up to the bound, and comes away again', () => {
    fc.assert(
      fc.property(arbChart, (chart) => {
        const more = addCycle(chart)
        const full = chart.cycles.length === MAX_CYCLES[chart.after.kind]
        expect(more.cycles).toEqual(full ? chart.cycles : [...chart.cycles, THREE_BUTTON_CYCLE])
        if (!full) expect(removeCycle(more, chart.cycles.length)).toEqual(chart)
        expect(more.after).toEqual(chart.after)
      }),
    )
  })

  it('any cycle comes away but the only one', () => {
    fc.assert(
      fc.property(arbChart, fc.nat(5), (chart, at) => {
        const cycle = at % chart.cycles.length
        const others = chart.cycles.toSpliced(cycle, 1)
        expect(removeCycle(chart, cycle)).toEqual({
          ...chart,
          cycles: others.length > 0 ? others : chart.cycles,
        })
        let less = chart
        for (let k = 0; k < 10; k++) less = removeCycle(less, 0)
        expect(less).toEqual({ ...chart, cycles: chart.cycles.slice(-1) })
      }),
    )
  })
})

describe('after the last cycle', () => {
  it('a chart that starts again may have a cycle more than one that stays', () => {
    fc.assert(
      fc.property(arbChart, fc.constantFrom('stay' as const, 'start-again' as const), (chart, kind) => {
        const changed = setAfter(chart, kind)
        expect(changed.after.kind).toBe(kind)
        expect(changed.cycles).toEqual(chart.cycles.slice(0, MAX_CYCLES[kind]))
        if (kind === chart.after.kind) expect(changed).toBe(chart)
        else if (kind === 'stay') expect(changed.after).toEqual({ kind, reply: THREE_BUTTON_CYCLE })
      }),
    )
  })

  it('six buttons keep what was chosen', () => {
    fc.assert(
      fc.property(arbChart, (chart) => {
        expect(sixButtons(chart)).toEqual({ cycles: SIX_BUTTON_CHART.cycles, after: chart.after })
      }),
    )
  })
})
