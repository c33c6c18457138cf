import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { gateRadius, stickSectors } from '../../../src/pad/stick/sectors.ts'
import type { Arc } from '../../../src/pad/stick/sectors.ts'
import { GATES } from '../../../src/pad/stick/settings.ts'
import { arbitraryStick } from '../arbitrary-layout.ts'
import { draws } from '../../draws.ts'

/** Beyond every gate: on the square that axes can reach. Whole places there show an angle to a few thousandths of a degree. */
const place = (degrees: number) => {
  const angle = (degrees * Math.PI) / 180
  const [x, y] = [Math.sin(angle), -Math.cos(angle)]
  const out = 32767 / Math.max(Math.abs(x), Math.abs(y))
  return { x: Math.round(x * out), y: Math.round(y * out) }
}
const NEAR = 0.02

const turned = (degrees: number): number => ((degrees % 360) + 360) % 360
/** How far inside an arc an angle is; negative outside. */
const inside = ({ fromDegrees, toDegrees }: Arc, degrees: number): number => {
  const half = (toDegrees - fromDegrees) / 2
  const off = turned(degrees - (fromDegrees + half) + 180) - 180
  return half - Math.abs(off)
}

describe('the sectors that are drawn', () => {
  it('are where a stick begins, enters and leaves its directions', () => {
    fc.assert(
      fc.property(
        arbitraryStick,
        fc.nat(36_000).map((k) => k / 100),
        fc.nat(7),
        (settings, degrees, which) => {
          const numbers = stickNumbers(settings)
          const sectors = stickSectors(numbers)
          const { x, y } = place(degrees)
          const hold = (before: number) => stickDirection(numbers, settings.gate, x, y, before)
          const begun = hold(0)
          const [k, other] = [which % sectors.length, (which + 1) % sectors.length]
          const [sector, neighbour] = [sectors[k], sectors[other]]
          if (sector === undefined || neighbour === undefined) throw new Error('no sector')

          const begins = inside(sector.begun, degrees)
          if (Math.abs(begins) > NEAR) expect(begun === sector.directions).toBe(begins > 0)
          const keeps = inside(sector.left, degrees)
          if (Math.abs(keeps) > NEAR) expect(hold(sector.directions) === sector.directions).toBe(keeps > 0)
          // Between two that are neighbours: one is taken over where the other is left.
          if (inside(neighbour.entered, degrees) > NEAR) {
            expect(hold(sector.directions)).toBe(neighbour.directions)
          }
          const between = inside(sector.left, degrees) > NEAR && inside(neighbour.left, degrees) > NEAR
          if (between) expect(inside(neighbour.entered, degrees)).toBeLessThan(NEAR)
        },
      ),
      { numRuns: draws(10_000) },
    )
  })

  it('have the quarters of a circle where there is no hysteresis to speak of', () => {
    const arcs = stickSectors({ press: 100, release: 99, enter: 32769, begin: 32769, leave: 32768 })
    expect(arcs.map(({ begun }) => begun)).toEqual([
      { fromDegrees: -45, toDegrees: 45 },
      { fromDegrees: 45, toDegrees: 135 },
      { fromDegrees: 135, toDegrees: 225 },
      { fromDegrees: 225, toDegrees: 315 },
    ])
  })

  // Source: a regular octagon whose sides lie 1 away has its corners 1 / cos 22.5° away (elementary geometry).
  it('have gates of the right shape', () => {
    expect(GATES.map((gate) => gateRadius(gate, 0))).toEqual([1, 1, 1])
    expect(gateRadius('square', 45)).toBeCloseTo(Math.SQRT2, 12)
    expect(gateRadius('octagon', 45)).toBeCloseTo(1, 12)
    expect(gateRadius('octagon', 22.5)).toBeCloseTo(1 / Math.cos(Math.PI / 8), 12)
  })
})
