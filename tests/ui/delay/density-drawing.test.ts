import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { delayBudget } from '../../../src/bench/delay/budget.ts'
import { even } from '../../../src/bench/delay/law.ts'
import { densityDrawing, densityWords } from '../../../src/ui/delay/density-drawing.ts'

const arbBudget = fc
  .array(fc.tuple(fc.nat(20_000_000), fc.integer({ min: 1_000, max: 250_000_000 })), {
    minLength: 1,
    maxLength: 3,
  })
  .map((spans) => delayBudget(spans.map(([min, width]) => ({ what: '', law: even(min, min + width) }))))

/** The corners of a path that is made of M, H, V and Z. */
function corners(path: string): { x: number; y: number }[] {
  let [x, y] = [Number.NaN, Number.NaN]
  return [...path.matchAll(/M([\d.]+) ([\d.]+)|H([\d.]+)|V([\d.]+)/g)].map(([, mx, my, h, v]) => {
    if (mx !== undefined) [x, y] = [Number(mx), Number(my)]
    if (h !== undefined) x = Number(h)
    if (v !== undefined) y = Number(v)
    return { x, y }
  })
}

describe('the drawing of a distribution', () => {
  it('stays in its box at any width, and its words do not touch', () => {
    fc.assert(
      fc.property(arbBudget, fc.integer({ min: 240, max: 1_200 }), ({ density, total }, width) => {
        const { height, bars, ticks, marks, axisY } = densityDrawing(density, total, width)
        for (const { x, y } of corners(bars)) {
          expect(x).toBeGreaterThanOrEqual(0)
          expect(x).toBeLessThanOrEqual(width)
          expect(y).toBeGreaterThanOrEqual(0)
          expect(y).toBeLessThanOrEqual(axisY)
        }
        expect(axisY).toBeLessThan(height)
        ticks.forEach(({ x }, k) => {
          expect(x).toBeLessThanOrEqual(width)
          if (k > 0) expect(x - (ticks[k - 1]?.x ?? 0)).toBeGreaterThanOrEqual(63.9)
        })
        expect(Math.abs((marks[0]?.y ?? 0) - (marks[1]?.y ?? 0))).toBeGreaterThanOrEqual(16)
        // A word of 24 letters of 7 px beside its line; the half on which it stands holds at least 120 px.
        for (const { x, anchor } of marks)
          expect(anchor === 'start' ? x < width / 2 + 0.01 : x > width / 2 - 0.01).toBe(true)
      }),
    )
  })

  it('has as much ink on a stretch as the delay is likely there', () => {
    fc.assert(
      fc.property(arbBudget, ({ density, total }) => {
        // Narrower than this, hundredths of a pixel count.
        fc.pre(total.maxNs - total.minNs > total.maxNs / 10)
        const { bars, marks, axisY } = densityDrawing(density, total, 800)
        const points = corners(bars)
        let [left, all] = [0, 0]
        const medianX = marks[0]?.x ?? 0
        points.slice(1).forEach((point, k) => {
          const from = points[k] as (typeof points)[0]
          const ink = (until: number) => Math.max(0, Math.min(until, point.x) - from.x) * (axisY - point.y)
          left += ink(medianX)
          all += ink(Infinity)
        })
        expect(left / all).toBeCloseTo(0.5, 1)
      }),
    )
  })

  it('puts every bar where its times are', () => {
    const density = { fromNs: 2_000_000, stepNs: 1_000_000, values: [0.25, 0.5, 0.25] }
    const { bars, ticks, marks } = densityDrawing(
      density,
      { minNs: 2_000_000, medianNs: 3_500_000, p95Ns: 4_800_000, maxNs: 5_000_000 },
      540,
    )
    // 5 ms on 500 px after 20 px at the side; the highest bar is 104 px high, from 148 up to 44.
    expect(bars).toBe('M220 148V96H320V44H420V96H520V148Z')
    expect(ticks).toEqual([0, 1, 2, 3, 4, 5].map((ms) => ({ x: 20 + 100 * ms, word: `${ms} ms` })))
    expect(marks).toEqual([
      { x: 370, word: 'median 3.50 ms', y: 12, anchor: 'end' },
      { x: 500, word: 'p95 4.80 ms', y: 30, anchor: 'end' },
    ])
  })

  it('tells all of it in words', () => {
    const { density, total } = delayBudget([
      { what: '', law: even(0, 8_000_000) },
      { what: '', law: even(2_000_000, 10_000_000) },
    ])
    expect(densityWords(density, total)).toBe(
      'Distribution of the latency: from 2.00 ms to 18.00 ms, most often about 9.93 ms; half of all presses within 10.00 ms, 95 of 100 within 15.47 ms.',
    )
    // 95 %: 1 − (16 − x)²/128 = 0.95 → x = 16 − √6.4 ms, and 2 ms before it.
    expect(total.p95Ns).toBe(2_000_000 + Math.ceil(16e6 - Math.sqrt(6.4) * 1e6))
  })
})
