import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { CELLS, cycleAt } from '../../../src/port/chart.ts'
import type { Chart, Cycle, Phase } from '../../../src/port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART } from '../../../src/port/family.ts'
import { PINS } from '../../../src/port/pins.ts'
import { columnIndex, columnsOf, knownEdges, runsOf } from '../../../src/ui/chart/chart-columns.ts'
import { readingOf } from './examples.ts'

const phase = fc
  .tuple(...PINS.map(() => fc.constantFrom(...CELLS)))
  .map((cells) => Object.fromEntries(PINS.map((pin, k) => [pin, cells[k]])) as unknown as Phase)
const cycle: fc.Arbitrary<Cycle> = fc.record({ high: phase, low: phase })
const chart: fc.Arbitrary<Chart> = fc.record({
  cycles: fc.array(cycle, { minLength: 1, maxLength: 5 }),
  after: fc.oneof(
    fc.constant({ kind: 'start-again' } as const),
    cycle.map((reply) => ({ kind: 'stay', reply }) as const),
  ),
})
const reading = fc
  .tuple(fc.integer({ min: 1, max: 9 }), fc.constantFrom('high' as const, 'low' as const))
  .map(([cycles, rest]) => readingOf(cycles, rest))

describe('columns', () => {
  test('a column shows what the port would answer there, as far as the title reads', () => {
    fc.assert(
      fc.property(chart, reading, (c, r) => {
        const columns = columnsOf(c, r)
        expect(columns.length).toBeGreaterThanOrEqual(2 * c.cycles.length)
        for (const sample of r.samples) {
          const column = columns[columnIndex(sample.cycle, sample.level)]
          expect(column?.phase).toEqual(cycleAt(c, sample.cycle)[sample.level])
        }
      }),
    )
  })

  test('an edit of the column’s source would change the column', () => {
    fc.assert(
      fc.property(chart, reading, (c, r) => {
        for (const { source, level, phase: shown } of columnsOf(c, r)) {
          const owner = source === 'after' ? c.after.kind === 'stay' && c.after.reply : c.cycles[source]
          expect(owner && owner[level]).toBe(shown)
        }
      }),
    )
  })

  test('six buttons read five times: four cycles and the one that stays', () => {
    const sources = columnsOf(SIX_BUTTON_CHART, readingOf(5)).map((column) => column.source)
    expect(sources).toEqual([0, 0, 1, 1, 2, 2, 3, 3, 'after', 'after'])
  })

  test('start again shows the first cycles once more', () => {
    const again: Chart = { cycles: SIX_BUTTON_CHART.cycles, after: { kind: 'start-again' } }
    expect(columnsOf(again).length).toBe(8)
    expect(columnsOf(again, readingOf(6)).map((column) => column.source)).toEqual([
      0, 0, 1, 1, 2, 2, 3, 3, 0, 0, 1, 1,
    ])
  })
})

describe('runs', () => {
  test('cover every cell once, in order, and never part equal neighbours', () => {
    fc.assert(
      fc.property(chart, reading, (c, r) => {
        const columns = columnsOf(c, r)
        const runs = runsOf(columns, r)
        for (const pin of PINS) {
          const own = runs.filter((run) => run.pin === pin)
          expect(own[0]?.from).toBe(0)
          expect(own.at(-1)?.to).toBe(columns.length - 1)
          own.forEach((run, k) => {
            const next = own[k + 1]
            if (next) expect(next.from).toBe(run.to + 1)
            if (next) expect(next.cell).not.toBe(run.cell)
            for (let at = run.from; at <= run.to; at++) expect(columns[at]?.phase[pin]).toBe(run.cell)
          })
        }
      }),
    )
  })

  test('the guilty cell stands alone, even between equals', () => {
    const r = readingOf(2, 'high', { sampleIndex: 1, pins: [1], sees: 'Up' })
    const runs = runsOf(columnsOf(THREE_BUTTON_CHART, r), r)
    expect(runs.filter((run) => run.pin === 1).map(({ from, to, guilty }) => [from, to, guilty])).toEqual([
      [0, 0, false],
      [1, 1, true],
      [2, 3, false],
    ])
    expect(runs.filter((run) => run.pin === 2)).toHaveLength(1)
  })
})

test('edges are known from the samples that follow them', () => {
  expect(knownEdges(readingOf(2, 'low'))).toEqual([
    { column: 1, timeNs: 0 },
    { column: 2, timeNs: 2_600 },
    { column: 3, timeNs: 5_200 },
  ])
})
