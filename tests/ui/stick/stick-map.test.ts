import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { polarOf } from '../../../src/ui/stick/polar.ts'
import { MAP_REACH, MAP_SIZE, mapPoint, placeOfPoint, stickMap } from '../../../src/ui/stick/stick-map.ts'
import { StickPoint } from '../../../src/ui/stick/stick-point.svelte.ts'
import { arbPlace, arbStick, corners, isInside, nearness } from './examples.ts'
import { draws } from '../../draws.ts'

/** Closer to a line than this the drawing, in steps of 0.01, cannot tell on which side a place is. */
const LINE = 0.1

describe('the map of a stick', () => {
  it('shows what the stick does: what comes from the middle is pressed outside of the full line only, in its own region', () => {
    fc.assert(
      fc.property(arbStick, arbPlace, (settings, place) => {
        const map = stickMap(settings)
        const point = mapPoint(place)
        const lines = [map.press, map.edge, ...map.regions.map(({ kept }) => kept), ...map.bands]
        fc.pre(isInside(point, map.edge) && lines.every((line) => nearness(point, line) > LINE))
        const held = stickDirection(stickNumbers(settings), settings.gate, place.x, place.y, 0)
        expect(held === 0).toBe(isInside(point, map.press))
        if (held === 0) return
        const regions = map.regions.filter(({ kept }) => isInside(point, kept))
        expect(regions.map(({ directions }) => directions)).toContain(held)
        // Two regions overlap in the hatched bands and nowhere else.
        expect(regions.length > 1).toBe(map.bands.some((band) => isInside(point, band)))
      }),
      { numRuns: draws(600) },
    )
  })

  it('keeps a stick that moves inside of what is filled', () => {
    fc.assert(
      fc.property(arbStick, fc.array(arbPlace, { minLength: 1, maxLength: 12 }), (settings, places) => {
        const map = stickMap(settings)
        const stick = new StickPoint(() => settings)
        for (const place of places) {
          stick.move(place)
          const point = mapPoint(place)
          const kept = map.regions.find(({ directions }) => directions === stick.held)?.kept
          if (!isInside(point, map.edge) || nearness(point, map.edge) < LINE) continue
          if (kept === undefined)
            expect(isInside(point, map.press) || nearness(point, map.press) < LINE).toBe(true)
          else expect(isInside(point, kept) || nearness(point, kept) < LINE).toBe(true)
        }
      }),
      { numRuns: draws(200) },
    )
  })

  it('has four regions where the diagonals have no share, else eight, each with its word in it', () => {
    fc.assert(
      fc.property(arbStick, (settings) => {
        const { regions, bands, borders } = stickMap(settings)
        expect(regions.length).toBe(settings.diagonalPercent === 0 ? 4 : 8)
        expect([bands.length, borders.length]).toEqual([regions.length, regions.length])
        for (const { word, label } of regions) {
          expect(label).not.toBe('')
          expect(Math.max(Math.abs(word.x - MAP_SIZE / 2), Math.abs(word.y - MAP_SIZE / 2))).toBeLessThan(
            MAP_REACH,
          )
        }
      }),
    )
  })

  it('stays in its square, and its lines lie within each other: let go, pressed, outer limit, edge', () => {
    fc.assert(
      fc.property(arbStick, (settings) => {
        const map = stickMap(settings)
        const far = (path: string) =>
          Math.max(...corners(path).map(({ x, y }) => Math.max(Math.abs(x - 160), Math.abs(y - 160))))
        const reach = [map.release, map.press, map.outer, map.edge].map(far)
        expect([...reach].sort((a, b) => a - b)).toEqual(reach)
        expect(reach[3]).toBeCloseTo(MAP_REACH, 2)
      }),
    )
  })

  it('draws each gate as what it is called', () => {
    const edge = (gate: 'circle' | 'square' | 'octagon') => corners(stickMap({ ...USUAL_STICK, gate }).edge)
    const sides = (gate: 'circle' | 'square' | 'octagon', at: (x: number, y: number) => number) =>
      edge(gate).map(({ x, y }) => at(Math.abs(x - 160), Math.abs(y - 160)))
    for (const value of sides('circle', (x, y) => Math.hypot(x, y))) expect(value).toBeCloseTo(MAP_REACH, 1)
    for (const value of sides('square', (x, y) => Math.max(x, y))) expect(value).toBeCloseTo(MAP_REACH, 1)
    // A regular octagon: every second side is the first one turned by 45°.
    const octagon = (x: number, y: number) => Math.max(x, y, (x + y) * Math.SQRT1_2)
    for (const value of sides('octagon', octagon)) expect(value).toBeCloseTo(MAP_REACH, 1)
  })

  it('finds the place under a point', () => {
    fc.assert(
      fc.property(arbPlace, (place) => {
        const point = mapPoint(place)
        const found = placeOfPoint(point.x, point.y)
        // A step of the drawing, 0.01, is 2.2 steps of an axis.
        expect(Math.abs(found.x - place.x)).toBeLessThanOrEqual(2)
        expect(Math.abs(found.y - place.y)).toBeLessThanOrEqual(2)
      }),
    )
    expect(placeOfPoint(-50, 1_000)).toEqual({ x: -32767, y: 32767 })
  })
})

describe('angles and distances', () => {
  it('counts anticlockwise from the right; up is negative y, as in W3C Gamepad, standard layout, axis 1', () => {
    const degrees = (x: number, y: number) => polarOf('circle', { x, y }).degrees
    expect(degrees(9, 0)).toBe(0)
    expect(degrees(0, -9)).toBe(90)
    expect(degrees(-9, 0)).toBe(180)
    expect(degrees(0, 9)).toBe(270)
    expect(degrees(9, -9)).toBeCloseTo(45, 9)
    expect(degrees(0, 0)).toBe(0)
  })

  it('measures along the gate: 100 % is its edge', () => {
    const full = 32767
    expect(polarOf('square', { x: full, y: full }).percent).toBeCloseTo(100, 6)
    expect(polarOf('circle', { x: full, y: full }).percent).toBeCloseTo(100 * Math.SQRT2, 6)
    // On a regular octagon with its sides up, down, left and right the corners lie at 22.5°: x = edge, y = x · (√2 − 1).
    expect(polarOf('octagon', { x: full, y: full * (Math.SQRT2 - 1) }).percent).toBeCloseTo(100, 4)
    expect(polarOf('octagon', { x: full * Math.SQRT1_2, y: full * Math.SQRT1_2 }).percent).toBeCloseTo(100, 6)
  })
})
