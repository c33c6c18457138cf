import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { heldWords } from '../../../src/ui/stick/directions.ts'
import {
  degreesWord,
  mapWords,
  pointWords,
  sectorRows,
  steadyWords,
} from '../../../src/ui/stick/stick-words.ts'
import { arbStick } from './examples.ts'
import { draws } from '../../draws.ts'

/** Twice the hundredths that the table shows. */
const NEAR = 0.02

const ends = (words: string): [number, number] => {
  const [from = Number.NaN, to = Number.NaN] = words.split(' … ').map((word) => Number.parseFloat(word))
  return [from, to]
}
const within = (degrees: number, [from, to]: [number, number]): boolean =>
  from <= to ? degrees >= from && degrees <= to : degrees >= from || degrees <= to

/** What a stick holds that has gone as far as its axes go in that direction, by sine and cosine. */
const heldAt = (settings: typeof USUAL_STICK, degrees: number, before: number) => {
  const angle = (degrees * Math.PI) / 180
  const [cosine, sine] = [Math.cos(angle), Math.sin(angle)]
  const end = 32767 / Math.max(Math.abs(cosine), Math.abs(sine))
  const [x, y] = [Math.round(end * cosine), Math.round(-end * sine)]
  return stickDirection(stickNumbers(settings), settings.gate, x, y, before)
}

describe('the table of angles', () => {
  it('goes round anticlockwise from the right', () => {
    expect(sectorRows(USUAL_STICK).map(({ label }) => label)).toEqual([
      'Right',
      'Up Right',
      'Up',
      'Up Left',
      'Left',
      'Down Left',
      'Down',
      'Down Right',
    ])
    expect(sectorRows(USUAL_STICK)[1]?.begun).toBe('22.50° … 67.50°')
    expect(sectorRows(USUAL_STICK)[0]?.begun).toBe('337.50° … 22.50°')
    expect(sectorRows({ ...USUAL_STICK, diagonalPercent: 0 }).map(({ label }) => label)).toEqual([
      'Right',
      'Up',
      'Left',
      'Down',
    ])
  })

  it('says to the hundredth of a degree where each direction is taken and given up', () => {
    fc.assert(
      fc.property(arbStick, fc.integer({ min: 0, max: 35_999 }), fc.nat(7), (settings, hundredths, n) => {
        const degrees = hundredths / 100
        const rows = sectorRows(settings)
        const clear = rows
          .flatMap(({ begun, entered, left }) => [begun, entered, left].flatMap(ends))
          .every((end) => Math.abs(((degrees - end + 540) % 360) - 180) > NEAR)
        fc.pre(clear)
        const begun = rows.filter((row) => within(degrees, ends(row.begun)))
        expect(begun.map(({ directions }) => directions)).toEqual([heldAt(settings, degrees, 0)])
        // Held by one before: given up exactly outside, and then taken by a neighbour or whoever is there.
        const row = rows[n % rows.length]
        if (!row) return
        const held = heldAt(settings, degrees, row.directions)
        expect(held === row.directions).toBe(within(degrees, ends(row.left)))
      }),
      { numRuns: draws(2_000) },
    )
  })

  it('has each direction taken over exactly where the neighbour gives up', () => {
    fc.assert(
      fc.property(arbStick, (settings) => {
        const rows = sectorRows(settings)
        rows.forEach((row, k) => {
          const next = rows[(k + 1) % rows.length]
          expect(ends(row.left)[1]).toBeCloseTo(ends(next?.entered ?? '')[0], 1)
        })
      }),
    )
  })
})

describe('words', () => {
  it('tells the map to who does not see it', () => {
    expect(mapWords('left', USUAL_STICK)).toBe(
      'Map of the left stick: circle, presses from 44.9 % of its travel, releases below 35.9 %. ' +
        'Eight directions: straight ones of 45.0°, diagonals of 45.0°; 14.4° between two of them keep what is held.',
    )
    expect(mapWords('right', { ...USUAL_STICK, gate: 'square', diagonalPercent: 0 })).toContain(
      'Map of the right stick: square, presses from 44.9 % of its travel, releases below 35.9 %. Four directions of 90.0° each',
    )
  })

  it('says where a point is and what it holds', () => {
    expect(pointWords({ degrees: 0, percent: 0 }, 0)).toBe('in the middle: holds nothing')
    expect(pointWords({ degrees: 359.99, percent: 62.19 }, 9)).toBe('62.1 % out at 0.0°: holds Up and Right')
    expect(heldWords(2)).toBe('Down')
  })

  it('keeps angles within the circle', () => {
    expect([-22.5, 0, 359.996, 382.5].map(degreesWord)).toEqual(['337.50°', '0.00°', '0.00°', '22.50°'])
  })

  it('never says steadier than it is', () => {
    fc.assert(
      fc.property(arbStick, (settings) => {
        const { press, release } = stickNumbers(settings)
        const said = Number(/([\d.]+) %/.exec(steadyWords(settings))?.[1])
        expect(said).toBeLessThanOrEqual((100 * (press - release)) / 32767)
        expect(said).toBeGreaterThanOrEqual(0)
      }),
    )
    expect(steadyWords(USUAL_STICK)).toBe('Steady up to movement of 8.9 % of the stick’s travel.')
  })
})
