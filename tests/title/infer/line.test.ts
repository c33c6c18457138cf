import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findBursts } from '../../../src/title/infer/bursts.ts'
import { Histogram } from '../../../src/title/infer/histogram.ts'
import { LineCleaner } from '../../../src/title/select-line.ts'
import { edgesOf } from './simulate.ts'

function clean(changes: readonly (readonly [number, string])[], endNs: number, options = {}) {
  const cleaner = new LineCleaner(options)
  const { timesNs, values, startNs } = edgesOf(changes, endNs)
  cleaner.push(timesNs, values)
  const line = cleaner.finish({ startNs, endNs })
  return {
    ...line,
    levels: [...line.levels].map((level) => '01xz'[level]).join(''),
    timesNs: [...line.timesNs],
  }
}

describe('a line without its glitches', () => {
  it('has no pulse that is shorter than a glitch, and every other', () => {
    const line = clean(
      [
        [0, '1'],
        [500, '0'],
        [599, '1'],
        [1_000, '0'],
        [1_100, '1'],
        [1_200, '0'],
        [1_200, '1'],
      ],
      2_000,
    )
    expect(line.levels).toBe('101')
    expect(line.timesNs).toEqual([0, 1_000, 1_100])
    expect(line.glitches).toEqual({ count: 2, firstNs: 500 })
  })

  it('takes an edge that bounces for one', () => {
    const line = clean(
      [
        [0, '1'],
        [1_000, '0'],
        [1_010, '1'],
        [1_020, '0'],
        [1_030, '1'],
        [1_040, '0'],
      ],
      5_000,
    )
    expect(line.levels).toBe('10')
    expect(line.glitches.count).toBe(2)
  })

  it('is high where nothing drives it, and unknown where nobody knows', () => {
    const line = clean(
      [
        [0, 'x'],
        [500, 'z'],
        [1_000, '1'],
        [2_000, '0'],
        [3_000, 'x'],
        [4_000, '0'],
        [5_000, 'x'],
        [5_050, '1'],
      ],
      9_000,
    )
    expect(line.levels).toBe('x10x01')
    expect(line.timesNs).toEqual([0, 500, 2_000, 3_000, 4_000, 5_050])
    expect(line.undriven).toEqual({ count: 1, firstNs: 500 })
    expect(line.unknown).toEqual({ count: 2, firstNs: 3_000 })
    expect(line.glitches.count).toBe(0)
  })

  it('begins with a level, however short: nothing went before for a glitch to interrupt', () => {
    const line = clean(
      [
        [0, '0'],
        [50, '1'],
        [900, '0'],
      ],
      5_000,
    )
    expect(line.timesNs).toEqual([50, 900])
    expect(line.glitches.count).toBe(0)
  })

  it('keeps so many edges and says where it stopped', () => {
    const changes = Array.from({ length: 50 }, (_, k): [number, string] => [k * 1_000, '10'[k % 2] ?? ''])
    expect(clean(changes, 60_000, { maxEdges: 10 })).toMatchObject({ full: true, endNs: 10_000 })
    expect(clean(changes, 60_000, { maxEdges: 49 })).toMatchObject({ full: false, endNs: 60_000 })
  })

  it('keeps a long line whole', () => {
    const changes = Array.from({ length: 20_000 }, (_, k): [number, string] => [k * 1_000, '10'[k % 2] ?? ''])
    const line = clean(changes, 20_000_000)
    expect(line.timesNs).toEqual(changes.map(([ns]) => ns))
    expect(line.levels).toBe('10'.repeat(10_000))
    expect(line).toMatchObject({ full: false, endNs: 20_000_000 })
  })

  it('knows no edge better than the samples that it was taken with', () => {
    const span = { startNs: 0, endNs: 1_000 }
    expect(new LineCleaner().finish(span).sampledNs).toBeNull()
    expect(new LineCleaner().finish({ ...span, samplerateHz: 4_000_000 }).sampledNs).toBe(250)
  })

  it('is the same whatever blocks the changes come in, and its pulses are long and alternate', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 400 }), fc.constantFrom('0', '1', 'x', 'z')), {
          maxLength: 80,
        }),
        fc.nat(80),
        (steps, cut) => {
          let ns = 0
          const changes = steps.map(([after, value]): [number, string] => [(ns += after), value])
          const whole = clean(changes, ns + 500)
          const cleaner = new LineCleaner()
          const { timesNs, values } = edgesOf(changes, 0)
          cleaner.push(timesNs.subarray(0, cut), values.subarray(0, cut))
          cleaner.push(timesNs.subarray(cut), values.subarray(cut))
          expect([...cleaner.finish({ startNs: 0, endNs: ns + 500 }).timesNs]).toEqual(whole.timesNs)
          whole.timesNs.forEach((at, k) => {
            if (k > 0) expect(at - (whole.timesNs[k - 1] ?? 0)).toBeGreaterThanOrEqual(100)
            if (k > 0) expect(whole.levels[k]).not.toBe(whole.levels[k - 1])
          })
          expect(whole.levels).not.toMatch(/z/)
        },
      ),
    )
  })
})

describe('bursts', () => {
  const MICRO = 1_000
  it('are cut at rests; one that does not bring the line back is broken', () => {
    const burst = (us: number): [number, string][] =>
      [0, 3, 6, 9].map((k) => [(us + k) * MICRO, k % 2 === 0 ? '0' : '1'])
    const cleaner = new LineCleaner()
    const line = edgesOf(
      [
        [0, '1'],
        ...[100, 200, 300, 400].flatMap(burst),
        [500 * MICRO, '0'],
        [700 * MICRO, '1'],
        ...[900, 1_000].flatMap(burst),
      ],
      1_500 * MICRO,
    )
    cleaner.push(line.timesNs, line.values)
    const bursts = findBursts(cleaner.finish(line))
    expect(bursts).toMatchObject({
      rest: 'high',
      cutAtStart: false,
      cutAtEnd: false,
      gaps: { minNs: 91 * MICRO, maxNs: 200 * MICRO },
    })
    expect(bursts.whole).toEqual([1, 5, 9, 13, 19, 23].map((first) => ({ first, edges: 4 })))
    expect(bursts.keptUntilNs).toBeNull()
    const few = findBursts(cleaner.finish(line), 'rests', 3)
    expect(few.whole).toEqual(bursts.whole.slice(0, 3))
    expect(few.keptUntilNs).toBe(400 * MICRO)
    // Held low for 200 µs, among phases of 3 µs: an edge, a gap, an edge.
    expect(bursts.broken).toEqual({ count: 2, firstNs: 500 * MICRO })
  })
})

describe('a histogram', () => {
  it('has quantiles no more than a bin above the true ones', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 2 ** 45 }), { minLength: 1 }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (lengths, share) => {
          const histogram = new Histogram()
          for (const ns of lengths) histogram.add(ns)
          const sorted = [...lengths].sort((a, b) => a - b)
          const exact = sorted[Math.ceil(share * lengths.length) - 1] ?? 0
          const quantile = histogram.quantile(share)
          expect(quantile).toBeGreaterThan(exact * 0.999999)
          expect(quantile).toBeLessThanOrEqual(exact * 2 ** (1 / 16) * 1.000001)
        },
      ),
    )
  })
})
