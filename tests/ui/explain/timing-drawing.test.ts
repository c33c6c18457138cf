import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Label } from '../../../src/ui/chart/paper.ts'
import type { TimingDrawing } from '../../../src/ui/explain/drawing.ts'
import { LETTER, detailSpan } from '../../../src/ui/explain/diagram-layout.ts'
import { scaleOf, ticksOf } from '../../../src/ui/explain/scale.ts'
import { timingDrawing } from '../../../src/ui/explain/timing-drawing.ts'
import { guiltySample, spanOf } from '../../../src/ui/explain/waves.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { withShort } from '../../bench/short-titles.ts'
import { arbExplained, burst, early, explained } from './examples.ts'

const PHONE = 340
const WIDE = 1_200
const widths = fc.integer({ min: 320, max: 1_400 })

const wordsOf = (drawing: TimingDrawing): Label[] => [
  ...drawing.names,
  ...drawing.pins.flatMap(({ words }) => words),
  ...drawing.guilty.words,
  ...(drawing.due?.words ?? []),
  ...drawing.axis.words,
]
const pathsOf = (drawing: TimingDrawing): string[] => [
  drawing.select,
  ...drawing.slopes,
  ...drawing.pins.map(({ path }) => path),
  ...drawing.samples.flatMap(({ hair, mark }) => [hair, mark]),
  drawing.guilty.cross,
  drawing.axis.path,
  ...(drawing.due ? [drawing.due.line] : []),
  ...(drawing.due?.dimension ? [drawing.due.dimension.line, ...drawing.due.dimension.arrows] : []),
]
const numbersOf = (path: string): number[] =>
  path
    .split(/[MLZ ]/)
    .filter(Boolean)
    .map(Number)
const pointsOf = (path: string): { x: number; y: number }[] => {
  const numbers = numbersOf(path)
  return Array.from({ length: numbers.length / 2 }, (_, k) => ({
    x: numbers[2 * k] ?? NaN,
    y: numbers[2 * k + 1] ?? NaN,
  }))
}

describe('on every paper', () => {
  it('everything lies on it, and no word runs over its edge', () => {
    fc.assert(
      fc.property(arbExplained, widths, ({ profile, explanation }, width) => {
        const drawing = timingDrawing(explanation, profile.chart, spanOf(explanation), width)
        expect(drawing.width).toBe(width)
        for (const path of pathsOf(drawing))
          for (const { x, y } of pointsOf(path)) {
            expect(x >= -1 && x <= width + 1, path).toBe(true)
            expect(y >= 0 && y <= drawing.height, path).toBe(true)
          }
        for (const { x, y, text, anchor } of wordsOf(drawing)) {
          const room = text.length * LETTER
          const left = anchor === 'start' ? x : anchor === 'end' ? x - room : x - room / 2
          const where = `${text} at ${x}, ${y} of ${width}`
          expect(left >= -12 && left + room <= width + 12, where).toBe(true)
          expect(y >= 0 && y <= drawing.height, where).toBe(true)
        }
      }),
      { numRuns: 60 },
    )
  })

  it('every sample is a mark and one of them is guilty, on the line of time', () => {
    fc.assert(
      fc.property(arbExplained, widths, ({ profile, explanation }, width) => {
        const drawing = timingDrawing(explanation, profile.chart, spanOf(explanation), width)
        expect(drawing.samples.map(({ isGuilty }) => isGuilty)).toEqual(
          explanation.samples.map(({ isGuilty }) => isGuilty),
        )
        expect(drawing.samples.filter(({ isGuilty }) => isGuilty)).toHaveLength(1)
        const along = drawing.samples.map(
          ({ hair }) => pointsOf(hair)[0]?.[drawing.turned ? 'y' : 'x'] ?? NaN,
        )
        expect(along).toEqual([...along].sort((p, q) => p - q))
        expect(drawing.tint).toHaveLength(explanation.example.pins.length)
      }),
      { numRuns: 40 },
    )
  })

  it('words in the gutter of a phone do not cover one another', () => {
    fc.assert(
      fc.property(arbExplained, ({ profile, explanation }) => {
        const drawing = timingDrawing(explanation, profile.chart, spanOf(explanation), PHONE)
        const ys = [...drawing.guilty.words, ...(drawing.due?.words ?? []), ...drawing.axis.words]
          .map(({ y }) => y)
          .sort((p, q) => p - q)
        ys.slice(1).forEach((y, k) => expect(y - (ys[k] ?? NaN)).toBeGreaterThanOrEqual(14.9))
      }),
      { numRuns: 40 },
    )
  })
})

describe('the drawing of a burst', () => {
  it('has the guilty sample on the low of the identification, and says what it sees', () => {
    const { profile, explanation } = burst()
    const drawing = timingDrawing(explanation, profile.chart, spanOf(explanation), WIDE)
    expect(drawing.guilty.words.map(({ text }) => text)).toEqual(['sees Up and Down'])
    expect(
      drawing.pins.flatMap(({ pin, words }) => words.map(({ text, kind }) => [pin, text, kind])),
    ).toEqual([
      [1, 'low', 'guilty'],
      [2, 'low', 'guilty'],
    ])
    expect(drawing.due).toBeNull()
    expect(detailSpan(explanation, spanOf(explanation), WIDE)).toBeNull()
  })

  it('turns by a quarter on a phone', () => {
    const { profile, explanation } = burst()
    const drawing = timingDrawing(explanation, profile.chart, spanOf(explanation), PHONE)
    expect([drawing.turned, drawing.names.map(({ text }) => text)]).toEqual([
      true,
      ['select', '1', '2', '3', '4', '6', '9'],
    ])
    expect(drawing.guilty.words.map(({ text }) => text).join(' ')).toBe('sees Up and Down')
  })
})

describe('the drawing of a sample that comes too early', () => {
  it('has what is held, and a dimension from the sample to the reply', () => {
    const { profile, explanation } = early()
    const span = spanOf(explanation)
    const drawing = timingDrawing(explanation, profile.chart, span, WIDE)
    expect(drawing.due?.words.map(({ text }) => text)).toEqual(['138 ns too early; the reply comes here'])
    const scale = scaleOf(span, 56, WIDE - 12)
    expect(pointsOf(drawing.due?.line ?? '')[0]?.x).toBe(scale.at(2_778))
    expect(drawing.pins.find(({ pin }) => pin === 6)?.words.map(({ text }) => text)).toContain('B')
  })

  it('says so before it where there is no room behind', () => {
    const { profile, explanation } = explained(
      withShort(PLAIN.quick, {
        edgeSpacingNs: { minNs: 2_600, maxNs: 2_600 },
        sampleAfterEdgeNs: { minNs: 40, maxNs: 60 },
      }),
    )
    const width = 540
    const { due, guilty } = timingDrawing(explanation, profile.chart, spanOf(explanation), width)
    for (const { x, text, anchor } of [...(due?.words ?? []), ...guilty.words])
      expect(anchor === 'start' ? x + text.length * LETTER : x).toBeLessThanOrEqual(width)
    expect(due?.words[0]?.anchor).toBe('end')
    expect(due?.words[0]?.x).toBeLessThan(guilty.words[0]?.x ?? 0)
  })

  it('is drawn once more, closer, with room between the two', () => {
    const { profile, explanation } = early()
    for (const width of [PHONE, WIDE]) {
      const detail = detailSpan(explanation, spanOf(explanation), width)
      expect(detail).not.toBeNull()
      if (detail === null) continue
      const { due, turned, samples } = timingDrawing(explanation, profile.chart, detail, width)
      const along = (path: string | undefined) => pointsOf(path ?? '')[0]?.[turned ? 'y' : 'x'] ?? NaN
      expect(along(due?.line) - along(samples.find(({ isGuilty }) => isGuilty)?.hair)).toBeGreaterThan(40)
      // The edge that the sample follows too soon is there, too.
      expect(
        explanation.select.edges.some(
          ({ atNs }) => atNs > detail.fromNs && atNs <= guiltySample(explanation).atNs,
        ),
      ).toBe(true)
    }
  })
})

describe('the axis', () => {
  const spans = fc
    .tuple(fc.integer({ min: -50_000, max: 50_000 }), fc.integer({ min: 40, max: 3_000_000 }))
    .map(([fromNs, lengthNs]) => ({ fromNs, untilNs: fromNs + lengthNs }))

  it('has round instants inside, evenly and with room between them, and says them right', () => {
    fc.assert(
      fc.property(spans, widths, (span, width) => {
        const scale = scaleOf(span, 0, width)
        const ticks = ticksOf(scale, 64)
        expect(ticks.length).toBeGreaterThan(0)
        for (const { atNs, word } of ticks) {
          expect(atNs >= span.fromNs && atNs <= span.untilNs).toBe(true)
          expect(Number(word.replace('−', '-')) * 1_000).toBeCloseTo(atNs, 6)
        }
        const steps = ticks.slice(1).map(({ atNs }, k) => atNs - (ticks[k]?.atNs ?? NaN))
        expect(new Set(steps).size).toBeLessThanOrEqual(1)
        for (const step of steps) {
          expect(String(step)).toMatch(/^[125]0*$/)
          expect((step / (span.untilNs - span.fromNs)) * width).toBeGreaterThan(63.9)
        }
        if (span.fromNs <= 0 && span.untilNs >= 0) expect(ticks.map(({ atNs }) => atNs)).toContain(0)
      }),
    )
  })
})
