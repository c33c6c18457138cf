import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { SIX_BUTTON_CHART } from '../../../src/port/family.ts'
import { layOut } from '../../../src/ui/chart/chart-geometry.ts'
import { readingOf } from './examples.ts'

const tightAt = (sampleIndex: number) => ({ ...readingOf(5), tight: { sampleIndex, spareNs: 110 } })

describe('the tight sample on the chart', () => {
  test('has its triangle and what it has to spare, and no cell is guilty', () => {
    const drawing = layOut(SIX_BUTTON_CHART, tightAt(3), 912)
    expect(drawing.tight?.note.text).toBe('tight, 110 ns margin')
    expect(drawing.samples.map(({ tight }) => tight)).toEqual(drawing.samples.map((_, k) => k === 3))
    expect(drawing.tight?.line).toBe(drawing.samples[3]?.hair)
    expect([drawing.guilty, drawing.runs.some(({ guilty }) => guilty)]).toEqual([undefined, false])
    expect(layOut(SIX_BUTTON_CHART, readingOf(5), 912).tight).toBeUndefined()
  })

  test('finds room for its note on every paper', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 320, max: 1_400 }), (index, width) => {
        const drawing = layOut(SIX_BUTTON_CHART, tightAt(index), width)
        const { x, y, text, anchor } = drawing.tight?.note ?? { x: 0, y: 0, text: '', anchor: 'end' }
        const room = text.length * 7
        expect(anchor === 'start' ? x + room <= drawing.width + 2 : x - room >= -2).toBe(true)
        expect(y >= 0 && y <= drawing.height).toBe(true)
        if (!drawing.turned) return
        // The note stands between two columns, in room of its own.
        const columns = drawing.columns.map((_, k) => drawing.cellBox(1, k))
        expect(columns.some((cell) => cell.y + 1 < y && y < cell.y + cell.height - 1)).toBe(false)
      }),
      { numRuns: 60 },
    )
  })
})
