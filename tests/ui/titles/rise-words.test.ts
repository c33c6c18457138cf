import { describe, expect, it } from 'vitest'
import { USUAL_LINE, riseOf } from '../../../src/ui/titles/rise-words.ts'

/** Source: the charging law of a capacitor through a resistor, v(t) = V·(1 − e^(−t/RC)), as in every textbook of electronics. */
const voltsAt = (ns: number, ohm: number, pf: number, supplyV: number): number =>
  supplyV * (1 - Math.exp(-(ns * 1e-9) / (ohm * pf * 1e-12)))

describe('a rise from the pull-up and the cable', () => {
  it('says how long it takes, and the line is at its threshold by then', () => {
    const { ns, words } = riseOf(USUAL_LINE)
    expect([ns, words]).toEqual([1_374, '10 kΩ and 150 pF: 1.37 µs'])
    expect(voltsAt(ns ?? NaN, 10_000, 150, 5)).toBeCloseTo(3, 2)
    const other = riseOf({ pullUpKiloohm: 4.7, capacitancePf: 220, thresholdV: 2, supplyV: 3.3 })
    expect(voltsAt(other.ns ?? NaN, 4_700, 220, 3.3)).toBeCloseTo(2, 2)
  })

  it('says what is missing or cannot be, and gives no time then', () => {
    expect(riseOf({ ...USUAL_LINE, capacitancePf: null })).toEqual({ ns: null, words: 'Fill in all four.' })
    expect(riseOf({ ...USUAL_LINE, pullUpKiloohm: 0 }).words).toBe('All four must be above zero.')
    expect(riseOf({ ...USUAL_LINE, thresholdV: 5 })).toEqual({
      ns: null,
      words: 'A supply of 5 V never reaches 5 V.',
    })
    expect(riseOf({ ...USUAL_LINE, capacitancePf: 1_000_000 })).toMatchObject({ ns: null })
  })
})
