import fc from 'fast-check'
import { expect, it } from 'vitest'
import type { OneRead } from '../../../src/title/capture/one-read.ts'
import { readWords } from '../../../src/ui/capture/capture-words.ts'
import { READ_Y, readDrawing, tickStep } from '../../../src/ui/capture/read-drawing.ts'

const arbRead: fc.Arbitrary<OneRead> = fc.record({
  rest: fc.constantFrom('high', 'low'),
  startNs: fc.nat(),
  edgesNs: fc
    .array(fc.integer({ min: 100, max: 1_000_000 }), { minLength: 1, maxLength: 31 })
    .map((spacings) => spacings.reduce((edges, ns) => [...edges, (edges.at(-1) ?? 0) + ns], [0]))
    .filter((edges) => edges.length % 2 === 0),
})
const arbWidth = fc.integer({ min: 280, max: 900 })

/** The points of a path of lines. */
const points = (path: string) =>
  [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => ({ x: Number(x), y: Number(y) }))

it('draws each edge once, in order, from rest to rest and inside the paper', () => {
  fc.assert(
    fc.property(arbRead, arbWidth, (read, width) => {
      const { select } = readDrawing(read, width)
      const drawn = points(select)
      expect(drawn.length).toBe(2 + 2 * read.edgesNs.length)
      const resting = read.rest === 'high' ? READ_Y.high : READ_Y.low
      expect([drawn[0]?.y, drawn.at(-1)?.y]).toEqual([resting, resting])
      const changes = drawn.filter(({ y }, k) => k > 0 && y !== drawn[k - 1]?.y)
      expect(changes.length).toBe(read.edgesNs.length)
      expect(drawn.every(({ x }) => x >= 0 && x <= width)).toBe(true)
      const middles = read.edgesNs.map(
        (_, k) => ((drawn[2 * k + 1]?.x ?? 0) + (drawn[2 * k + 2]?.x ?? 0)) / 2,
      )
      expect(middles).toEqual([...middles].sort((a, b) => a - b))
    }),
  )
})

it('is true to scale, to the half pixel', () => {
  fc.assert(
    fc.property(arbRead, arbWidth, (read, width) => {
      const drawn = points(readDrawing(read, width).select)
      const x = (k: number) => ((drawn[2 * k + 1]?.x ?? 0) + (drawn[2 * k + 2]?.x ?? 0)) / 2
      const last = read.edgesNs.length - 1
      const perNs = (x(last) - x(0)) / (read.edgesNs[last] ?? 1)
      read.edgesNs.forEach((ns, k) => expect(Math.abs(x(0) + ns * perNs - x(k))).toBeLessThanOrEqual(1))
    }),
  )
})

it('gives words that do not run into each other', () => {
  fc.assert(
    fc.property(arbRead, arbWidth, (read, width) => {
      const { cycles, ticks, spacing } = readDrawing(read, width)
      const apart = (words: readonly { x: number }[], least: number) =>
        words.every(({ x }, k) => k === 0 || x - (words[k - 1]?.x ?? 0) >= least)
      expect(apart(cycles, 14)).toBe(true)
      expect(apart(ticks, 55)).toBe(true)
      expect(ticks.length).toBeGreaterThan(1)
      expect(cycles[0]?.text).toBe('1')
      expect(spacing.word.x).toBeGreaterThanOrEqual(60)
      expect(spacing.word.x).toBeLessThanOrEqual(width - 36)
    }),
  )
})

it('puts the arrows to the least spacing', () => {
  const read: OneRead = { rest: 'low', startNs: 0, edgesNs: [0, 3_000, 5_200, 8_100] }
  const { spacing } = readDrawing(read, 400)
  expect(spacing.word.text).toBe('2.2 µs')
  const [from, to] = [...spacing.hairs.matchAll(/M([\d.]+)/g)].map(([, x]) => Number(x))
  const drawn = points(readDrawing(read, 400).select)
  expect(from).toBe(((drawn[3]?.x ?? 0) + (drawn[4]?.x ?? 0)) / 2)
  expect(to).toBe(((drawn[5]?.x ?? 0) + (drawn[6]?.x ?? 0)) / 2)
})

it('numbers all cycles where there is room', () => {
  const edgesNs = Array.from({ length: 10 }, (_, k) => 2_600 * k)
  const { cycles, ticks, spacing } = readDrawing({ rest: 'high', startNs: 0, edgesNs }, 400)
  expect(cycles.map(({ text }) => text)).toEqual(['1', '2', '3', '4', '5'])
  expect(ticks.map(({ text }) => text)).toEqual(['0', '5 µs', '10 µs', '15 µs', '20 µs'])
  expect(spacing.word.text).toBe('2.6 µs')
})

it('steps by 1, 2 or 5 times a power of ten, and no further than is needed', () => {
  expect([1, 3, 10, 11, 600, 4_999, 5_000, 5_001].map(tickStep)).toEqual([
    1, 5, 10, 20, 1_000, 5_000, 5_000, 10_000,
  ])
  fc.assert(
    fc.property(fc.double({ min: 1, max: 1e9, noNaN: true }), (least) => {
      const step = tickStep(least)
      expect(step).toBeGreaterThanOrEqual(least)
      expect(step).toBeLessThan(2.5 * least + 1)
      expect(String(step)).toMatch(/^[125]0*$/)
    }),
  )
})

it('is told in words', () => {
  expect(readWords({ rest: 'low', startNs: 0, edgesNs: [0, 2_600, 5_300, 7_900] })).toBe(
    'Select idles low; the read has 4 edges in 7.9 µs, 2.6 µs to 2.7 µs apart.',
  )
  expect(readWords({ rest: 'high', startNs: 0, edgesNs: [0, 900] })).toBe(
    'Select idles high; the read has 2 edges in 0.9 µs, 0.9 µs apart.',
  )
})
