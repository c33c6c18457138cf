import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { rangeAt, timeFigures, withFigure } from '../../src/title/time-figures.ts'
import { withTimes } from '../../src/title/times.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { PLAIN } from '../bench/plain-titles.ts'

describe('the times of a title', () => {
  it('are each told once, with the number of places', () => {
    fc.assert(
      fc.property(arbTitle, (title) => {
        const figures = timeFigures(title)
        let places = 0
        withTimes(title, (range) => {
          if (range.maxNs > 0 || range.source !== undefined) places++
          return range
        })
        expect(figures.reduce((sum, figure) => sum + figure.places, 0)).toBe(places)
        const told = figures.map(({ places: _places, ...figure }) => JSON.stringify(figure))
        expect(new Set(told).size).toBe(told.length)
      }),
    )
  })

  it('are changed wherever they stand, and nothing else is', () => {
    fc.assert(
      fc.property(arbTitle, fc.nat(), (title, pick) => {
        const figures = timeFigures(title)
        const figure = figures[pick % Math.max(1, figures.length)]
        if (figure === undefined) return
        const same = withFigure(title, figure, figure.range)
        expect(same).toEqual(title)
        // Told apart from all others by a range that none of them has.
        const range = { minNs: 7_000_001, maxNs: 7_000_002 }
        const moved = withFigure(title, figure, range, { kind: 'typed-in' })
        const found = timeFigures(moved).find((one) => one.range.minNs === range.minNs)
        expect(found).toMatchObject({
          kind: figure.kind,
          places: figure.places,
          source: { kind: 'typed-in' },
        })
        if (found)
          expect(withFigure(moved, found, figure.range, figure.source)).toEqual(withoutTyped(title, figure))
      }),
    )
  })

  it('are taken for one time; how late a read may begin for the most', () => {
    const range = { minNs: 0, maxNs: 500 }
    expect(rangeAt({ kind: 'sample', range }, 200)).toEqual({ minNs: 200, maxNs: 200 })
    expect(rangeAt({ kind: 'late', range }, 200)).toEqual({ minNs: 0, maxNs: 200 })
    expect(timeFigures(PLAIN.burst).map(({ kind }) => kind)).toContain('edge')
  })
})

/** Where the figure had no source it keeps the one that it was given. */
const withoutTyped = (title: Parameters<typeof withFigure>[0], figure: Parameters<typeof withFigure>[1]) =>
  figure.source === undefined ? withFigure(title, figure, figure.range, { kind: 'typed-in' }) : title
