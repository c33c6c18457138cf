import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../../src/port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART } from '../../../src/port/family.ts'
import { layOut } from '../../../src/ui/chart/chart-geometry.ts'
import { readingOf } from './examples.ts'

const WIDE = 912
const PHONE = 336
const guilty = { sampleIndex: 5, pins: [1, 2], sees: 'Up and Down' } as const
const fiveCycles = readingOf(5, 'high', guilty)
const startAgain: Chart = { cycles: SIX_BUTTON_CHART.cycles, after: { kind: 'start-again' } }

const widths = fc.integer({ min: 320, max: 1400 })
const charts = fc.constantFrom(SIX_BUTTON_CHART, THREE_BUTTON_CHART, startAgain)
const readings = fc.oneof(
  fc.constant(undefined),
  fc
    .tuple(fc.integer({ min: 1, max: 9 }), fc.constantFrom('high' as const, 'low' as const), fc.boolean())
    .map(([cycles, rest, isGuilty]) =>
      readingOf(cycles, rest, isGuilty ? { sampleIndex: 0, pins: [1], sees: 'Up' } : undefined),
    ),
)

describe('on every paper', () => {
  test('the drawing keeps to the width it was given', () => {
    fc.assert(
      fc.property(charts, readings, widths, (chart, reading, width) => {
        expect(layOut(chart, reading, width).width).toBeLessThanOrEqual(width)
      }),
    )
  })

  test('cells lie side by side: none overlaps another and all lie on the paper', () => {
    fc.assert(
      fc.property(charts, readings, widths, (chart, reading, width) => {
        const drawing = layOut(chart, reading, width)
        const boxes = drawing.lanes.flatMap((_, lane) =>
          drawing.columns.map((__, column) => drawing.cellBox(lane, column)),
        )
        boxes.forEach((p, k) => {
          expect(p.x).toBeGreaterThanOrEqual(0)
          expect(p.x + p.width).toBeLessThanOrEqual(drawing.width)
          expect(p.y + p.height).toBeLessThanOrEqual(drawing.height)
          for (const q of boxes.slice(k + 1)) {
            const apart =
              p.x + p.width <= q.x || q.x + q.width <= p.x || p.y + p.height <= q.y || q.y + q.height <= p.y
            expect(apart).toBe(true)
          }
        })
      }),
      { numRuns: 40 },
    )
  })

  test('one mark for every sample, one word for every run, and all of it is numbers', () => {
    fc.assert(
      fc.property(charts, readings, widths, (chart, reading, width) => {
        const drawing = layOut(chart, reading, width)
        expect(drawing.samples).toHaveLength(reading?.samples.length ?? 0)
        expect(drawing.runs.every((run) => run.label.text !== '')).toBe(true)
        expect(JSON.stringify(drawing)).not.toMatch(/NaN|Infinity|undefined|null/)
      }),
    )
  })
})

describe('the drawing of the Port station', () => {
  const drawing = layOut(SIX_BUTTON_CHART, fiveCycles, WIDE)

  test('time runs right and the cycles are named', () => {
    expect(drawing.turned).toBe(false)
    expect(drawing.heads.map((head) => head.label.text)).toEqual([
      'cycle 1',
      'cycle 2',
      'cycle 3',
      'cycle 4',
      'afterwards',
    ])
    expect(drawing.lanes.map((lane) => lane.label.text)).toEqual([
      'select',
      'pin 1',
      'pin 2',
      'pin 3',
      'pin 4',
      'pin 6',
      'pin 9',
    ])
  })

  test('the third low is guilty on the pins of Up and Down, and says so beneath its own sample', () => {
    const column = drawing.cellBox(1, 5)
    expect(drawing.guilty?.note.text).toBe('sees Up and Down')
    expect(drawing.guilty?.boxes).toHaveLength(2)
    expect(drawing.guilty?.boxes.map((box) => [box.x, box.width])).toEqual([
      [column.x, column.width],
      [column.x, column.width],
    ])
    expect(drawing.samples.map((sample) => sample.guilty).indexOf(true)).toBe(5)
    expect(drawing.runs.filter((run) => run.guilty).map(({ pin, cell }) => [pin, cell])).toEqual([
      [1, 'low'],
      [2, 'low'],
    ])
  })

  test('the axis reads 0 to 26.0 µs and names the edge of every cycle between', () => {
    expect(drawing.axis?.labels.map((label) => label.text)).toEqual([
      '0',
      '5.2',
      '10.4',
      '15.6',
      '20.8',
      '26.0 µs',
    ])
  })

  test('without a title there is neither sample nor time', () => {
    const bare = layOut(SIX_BUTTON_CHART, undefined, WIDE)
    expect([bare.samples, bare.axis, bare.guilty, bare.samplesLabel]).toEqual([
      [],
      undefined,
      undefined,
      undefined,
    ])
  })
})

test('a title that rests low begins its time at the first low phase', () => {
  const drawing = layOut(THREE_BUTTON_CHART, readingOf(2, 'low'), WIDE)
  expect(drawing.axis?.line.startsWith(`M${drawing.cellBox(0, 1).x} `)).toBe(true)
})

test('levels: low is drawn at the foot of its lane, high at the head', () => {
  const drawing = layOut(SIX_BUTTON_CHART, fiveCycles, WIDE)
  const lane = drawing.lanes.find(({ contact }) => contact === 3)
  const yOf = (path: string) =>
    path
      .split(/[MLZ ]/)
      .filter(Boolean)
      .filter((_, k) => k % 2 === 1)
      .map(Number)
  const path = (cell: string) => drawing.runs.find((run) => run.pin === 3 && run.cell === cell)?.path ?? ''
  expect(Math.max(...yOf(path('low')))).toBe((lane?.start ?? 0) + (lane?.size ?? 0))
  expect(Math.min(...yOf(path('high')))).toBe(lane?.start)
})

describe('turned by a quarter', () => {
  const drawing = layOut(SIX_BUTTON_CHART, fiveCycles, PHONE)

  test('time runs down and lanes run side by side', () => {
    expect(drawing.turned).toBe(true)
    const [first, nextTime, nextLane] = [drawing.cellBox(1, 0), drawing.cellBox(1, 1), drawing.cellBox(2, 0)]
    expect([nextTime.x, nextTime.y > first.y]).toEqual([first.x, true])
    expect([nextLane.y, nextLane.x > first.x]).toEqual([first.y, true])
  })

  test('what the title saw has room of its own beneath the guilty phase', () => {
    const note = drawing.guilty?.note.y ?? 0
    const [above, below] = [drawing.cellBox(1, 5), drawing.cellBox(1, 6)]
    expect(note).toBeGreaterThan(above.y + above.height)
    expect(note).toBeLessThan(below.y)
  })

  test('and keeps it when the guilty phase is the last', () => {
    const last = readingOf(2, 'high', { sampleIndex: 3, pins: [1], sees: 'Up' })
    const short = layOut(THREE_BUTTON_CHART, last, PHONE)
    expect(short.guilty?.note.y).toBeLessThan(short.height)
  })

  test('wide paper turns too when a title reads more than it has columns for', () => {
    expect(layOut(SIX_BUTTON_CHART, readingOf(16), WIDE).turned).toBe(true)
  })
})

test('start again says which cycle follows the last one drawn', () => {
  expect(layOut(startAgain, undefined, WIDE).again?.label.text).toBe('then cycle 1')
  expect(layOut(startAgain, readingOf(6), WIDE).again?.label.text).toBe('then cycle 3')
  expect(layOut(SIX_BUTTON_CHART, undefined, WIDE).again).toBeUndefined()
})
