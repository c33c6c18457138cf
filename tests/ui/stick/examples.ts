import fc from 'fast-check'
import { AXIS_FULL } from '../../../src/pad/extract.ts'
import type { StickPosition } from '../../../src/pad/extract.ts'
import { GATES } from '../../../src/pad/stick/settings.ts'
import type { StickSettings } from '../../../src/pad/stick/settings.ts'

/** Sticks and places for tests of the screen. */

export const arbStick: fc.Arbitrary<StickSettings> = fc
  .record({
    gate: fc.constantFrom(...GATES),
    innerPercent: fc.integer({ min: 5, max: 95 }),
    outerPercent: fc.integer({ min: 20, max: 100 }),
    diagonalPercent: fc.oneof(fc.integer({ min: 0, max: 90 }), fc.constant(0)),
    share: fc.integer({ min: 0, max: 999 }),
  })
  .map(({ share, ...stick }) => ({
    ...stick,
    // Below the press threshold, from 1 to 50.
    hysteresisPercent: 1 + Math.floor((share / 1000) * Math.min(50, stick.innerPercent - 1)),
  }))

const amount = fc.integer({ min: -AXIS_FULL, max: AXIS_FULL })
export const arbPlace: fc.Arbitrary<StickPosition> = fc.record({ x: amount, y: amount })

interface Point {
  readonly x: number
  readonly y: number
}

/** The corners of a path that is made of M, L and Z. */
export const corners = (path: string): Point[] =>
  [...path.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => ({ x: Number(x), y: Number(y) }))

/** Whether a point lies in a closed path: a ray to the right crosses its sides an odd number of times. */
export function isInside({ x, y }: Point, path: string): boolean {
  const all = corners(path)
  return (
    all.filter((a, k) => {
      const b = all[(k + 1) % all.length] ?? a
      return a.y > y !== b.y > y && x < a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)
    }).length %
      2 ===
    1
  )
}

/** How far a point is from the nearest side of a path. */
export function nearness({ x, y }: Point, path: string): number {
  const all = corners(path)
  return Math.min(
    ...all.map((a, k) => {
      const b = all[(k + 1) % all.length] ?? a
      const [dx, dy] = [b.x - a.x, b.y - a.y]
      const square = dx * dx + dy * dy
      const along = square === 0 ? 0 : ((x - a.x) * dx + (y - a.y) * dy) / square
      const t = Math.max(0, Math.min(1, along))
      return Math.hypot(x - a.x - t * dx, y - a.y - t * dy)
    }),
  )
}
