import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { stickNumbers, tangent } from '../../../src/pad/stick/numbers.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import type { StickSettings } from '../../../src/pad/stick/settings.ts'
import { arbitraryStick } from '../arbitrary-layout.ts'
import { draws } from '../../draws.ts'

/** The formulas of IMAGE.md, by the engine's own functions. */
function byTheEngine(settings: StickSettings) {
  const { innerPercent: i, outerPercent: o, diagonalPercent: d, hysteresisPercent: h } = settings
  const rad = Math.PI / 180
  const press = Number((BigInt(i) * BigInt(o) * 32767n) / 10000n)
  const release = Number((BigInt(i - h) * BigInt(o) * 32767n) / 10000n)
  const a = (45 * (100 - d)) / 100
  const delta = Math.asin(Math.min(1, (press - release) / (2 * release))) / rad
  if (d === 0) {
    const tan = Math.tan((45 - Math.min(delta, 22.5)) * rad)
    return { press, release, enter: 32769, begin: 32769, leave: Math.floor(32768 * tan) }
  }
  const within = Math.min(delta, a / 2, (45 - a) / 2)
  return {
    press,
    release,
    enter: Math.ceil(32768 * Math.tan((a + within) * rad)),
    begin: Math.ceil(32768 * Math.tan(a * rad)),
    leave: Math.floor(32768 * Math.tan((a - within) * rad)),
  }
}

describe('the numbers of a stick', () => {
  it('are those of the engine that runs this', () => {
    fc.assert(
      fc.property(arbitraryStick, (settings) => {
        expect(stickNumbers(settings)).toEqual(byTheEngine(settings))
      }),
      { numRuns: draws(20_000) },
    )
  })

  it('stay within what a small chip asks for, with room for noise', () => {
    fc.assert(
      fc.property(arbitraryStick, (settings) => {
        const { press, release, enter, begin, leave } = stickNumbers(settings)
        expect(release).toBeGreaterThan(0)
        expect(press).toBeGreaterThan(release)
        expect(press).toBeLessThanOrEqual(32767)
        expect(leave).toBeGreaterThan(0)
        expect(begin).toBeGreaterThan(leave)
        expect(enter).toBeGreaterThanOrEqual(begin)
        expect(enter).toBeLessThanOrEqual(32769)
      }),
      { numRuns: draws(2000) },
    )
  })

  // Source: the formulas of IMAGE.md in mpmath 1.3 with 40 digits; what is rounded stands behind.
  it.each([
    // 18675.953, 13572.950, 8976.141
    [USUAL_STICK, { press: 14745, release: 11796, enter: 18676, begin: 13573, leave: 8976 }],
    // 3878.348, 2578.898, 1287.458
    [
      { ...USUAL_STICK, innerPercent: 5, outerPercent: 20, diagonalPercent: 90, hysteresisPercent: 1 },
      { press: 327, release: 262, enter: 3879, begin: 2579, leave: 1287 },
    ],
    // 24402.280, 17680.654, 11942.771
    [
      { ...USUAL_STICK, innerPercent: 60, outerPercent: 80, diagonalPercent: 37, hysteresisPercent: 50 },
      { press: 15728, release: 2621, enter: 24403, begin: 17681, leave: 11942 },
    ],
    // leave 32420.885
    [
      { ...USUAL_STICK, innerPercent: 95, outerPercent: 100, diagonalPercent: 0, hysteresisPercent: 1 },
      { press: 31128, release: 30800, enter: 32769, begin: 32769, leave: 32420 },
    ],
  ])('are these for %j', (settings, numbers) => {
    expect(stickNumbers(settings)).toEqual(numbers)
  })
})

describe('the tangent', () => {
  it('is that of the engine to the last bits', () => {
    for (let tenth = 0; tenth <= 450; tenth++) {
      const wanted = Math.tan(((tenth / 10) * Math.PI) / 180)
      expect(Math.abs(tangent(tenth / 10) - wanted)).toBeLessThanOrEqual(4 * Number.EPSILON * wanted)
    }
  })

  // Source for 42°: OEIS A019940 (oeis.org/A019940); the others are exact values.
  it('has the exact values', () => {
    expect(tangent(0)).toBe(0)
    expect(tangent(15)).toBeCloseTo(2 - Math.sqrt(3), 15)
    expect(tangent(30)).toBeCloseTo(1 / Math.sqrt(3), 15)
    expect(tangent(42)).toBeCloseTo(0.9004040442978399, 15)
    expect(tangent(45)).toBeCloseTo(1, 15)
  })
})
