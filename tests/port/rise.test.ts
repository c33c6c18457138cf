import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { riseNs } from '../../src/port/rise.ts'
import type { ReleasedLine } from '../../src/port/rise.ts'

const arbLine: fc.Arbitrary<ReleasedLine> = fc
  .record({
    pullUpOhm: fc.integer({ min: 100, max: 1_000_000 }),
    capacitancePf: fc.integer({ min: 5, max: 10_000 }),
    supplyV: fc.double({ min: 1, max: 15, noNaN: true }),
    share: fc.double({ min: 0.05, max: 0.95, noNaN: true }),
  })
  .map(({ share, ...line }) => ({ ...line, thresholdV: share * line.supplyV }))

describe('a released line rising by its pull-up', () => {
  it('10 kΩ and 150 pF take 1.4 µs to 3 V of 5 V (worked figure, from memory)', () => {
    const ns = riseNs({ pullUpOhm: 10_000, capacitancePf: 150, thresholdV: 3, supplyV: 5 })
    expect((ns / 1000).toFixed(1)).toBe('1.4')
    expect(ns).toBe(1374)
  })

  it('reaches 1 − 1/e of the supply after one time constant (what a time constant is)', () => {
    const line = { pullUpOhm: 4_700, capacitancePf: 1_000, supplyV: 5 }
    expect(riseNs({ ...line, thresholdV: 5 * (1 - 1 / Math.E) })).toBe(4_700)
  })

  it('is at the threshold at that time, to the nearest nanosecond', () => {
    fc.assert(
      fc.property(arbLine, (line) => {
        const timeConstantS = line.pullUpOhm * line.capacitancePf * 1e-12
        const voltageAt = (ns: number) => line.supplyV * -Math.expm1(-(ns * 1e-9) / timeConstantS)
        const ns = riseNs(line)
        expect(voltageAt(ns - 0.501)).toBeLessThan(line.thresholdV)
        expect(voltageAt(ns + 0.501)).toBeGreaterThan(line.thresholdV)
      }),
    )
  })

  it('never gets to the supply or beyond', () => {
    for (const thresholdV of [5, 5.1])
      expect(riseNs({ pullUpOhm: 10_000, capacitancePf: 150, thresholdV, supplyV: 5 })).toBe(Infinity)
  })
})
