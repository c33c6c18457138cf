import { describe, expect, test } from 'vitest'
import {
  PITCH_MM,
  ROWS_APART_MM,
  SIDES_DEG,
  contactPlace,
  neighbour,
  shellPath,
} from '../../../src/ui/connector/connector-geometry.ts'
import { CONTACTS, ROLES, VIEWS } from '../../../src/ui/connector/contacts.ts'

// DIN 41652 / MIL-DTL-24308, figures from memory: pitch 2.77 mm, rows 2.84 mm apart, sides 10° in.
describe('drawn to scale', () => {
  test.each(VIEWS)('%s: neighbours in a row are one pitch apart, the rows 2.84 mm', (view) => {
    for (const [from, to] of [
      [1, 2],
      [2, 3],
      [3, 4],
      [4, 5],
      [6, 7],
      [7, 8],
      [8, 9],
    ] as const) {
      const [p, q] = [contactPlace(from, view), contactPlace(to, view)]
      expect(Math.abs(p.xMm - q.xMm)).toBeCloseTo(2.77)
      expect(p.yMm).toBe(q.yMm)
    }
    expect(contactPlace(6, view).yMm - contactPlace(1, view).yMm).toBeCloseTo(2.84)
    expect([PITCH_MM, ROWS_APART_MM, SIDES_DEG]).toEqual([2.77, 2.84, 10])
  })

  test.each(VIEWS)('%s: the lower row is shifted by half a pitch', (view) => {
    expect(Math.abs(contactPlace(6, view).xMm - contactPlace(1, view).xMm)).toBeCloseTo(2.77 / 2)
  })

  test('the sides lean in by 10° and the wide side is up', () => {
    // M x y A r r 0 0 1 x y L x y A … : the right side runs from the end of the second arc to the next line's end.
    const points = [...shellPath().matchAll(/([ML]|0 0 1 )(-?[\d.]+) (-?[\d.]+)/g)].map(
      ([, , x, y]) => [Number(x), Number(y)] as const,
    )
    const [from, to] = [points[3] ?? [0, 0], points[4] ?? [0, 0]]
    const lean = (Math.atan2(from[0] - to[0], to[1] - from[1]) * 180) / Math.PI
    expect(lean).toBeCloseTo(10, 1)
    expect(points).toHaveLength(8)
  })
})

describe('views', () => {
  const row = (view: (typeof VIEWS)[number], upper: boolean) =>
    CONTACTS.filter((contact) => contact <= 5 === upper).toSorted(
      (p, q) => contactPlace(p, view).xMm - contactPlace(q, view).xMm,
    )

  // Port facts: console 1–5 left to right, 6–9 beneath; our mating face 5–1 and 9–6; solder side 1–5 again.
  test('read left to right as port-facts has them', () => {
    expect(row('console', true)).toEqual([1, 2, 3, 4, 5])
    expect(row('console', false)).toEqual([6, 7, 8, 9])
    expect(row('ours', true)).toEqual([5, 4, 3, 2, 1])
    expect(row('ours', false)).toEqual([9, 8, 7, 6])
    expect(row('solder', true)).toEqual([1, 2, 3, 4, 5])
    expect(row('solder', false)).toEqual([6, 7, 8, 9])
  })

  test('the two faces meet: mirrored, every contact finds its own', () => {
    for (const contact of CONTACTS) {
      const [theirs, ours] = [contactPlace(contact, 'console'), contactPlace(contact, 'ours')]
      expect([theirs.xMm + ours.xMm, theirs.yMm - ours.yMm]).toEqual([0, 0])
    }
  })
})

describe('arrow keys', () => {
  test('go where the eye goes', () => {
    expect(neighbour(1, 'ArrowRight', 'console')).toBe(2)
    expect(neighbour(1, 'ArrowRight', 'ours')).toBe(1)
    expect(neighbour(1, 'ArrowLeft', 'ours')).toBe(2)
    expect(neighbour(5, 'ArrowDown', 'console')).toBe(9)
    expect(neighbour(9, 'ArrowUp', 'ours')).toBe(5)
    expect(neighbour(3, 'Enter', 'ours')).toBeUndefined()
  })

  test('reach every contact from every other', () => {
    for (const view of VIEWS) {
      const seen = new Set<number>([1])
      let edge = [...CONTACTS].slice(0, 1)
      while (edge.length > 0) {
        edge = edge
          .flatMap((from) =>
            ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown'].map((name) => neighbour(from, name, view)),
          )
          .filter((to) => to !== undefined)
          .filter((to) => !seen.has(to))
        edge.forEach((to) => seen.add(to))
      }
      expect(seen.size).toBe(9)
    }
  })
})

// Common practice, no source: the port table of the select-line pad.
test('six contacts carry data, 5 the supply, 7 select, 8 ground', () => {
  expect(CONTACTS.filter((contact) => ROLES[contact] === 'data')).toEqual([1, 2, 3, 4, 6, 9])
  expect([ROLES[5], ROLES[7], ROLES[8]]).toEqual(['supply', 'select', 'ground'])
})
