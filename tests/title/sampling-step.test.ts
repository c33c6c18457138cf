import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  canHideEdges,
  canHideInAll,
  isOfOnePhase,
  mostCyclesIn,
  samplingStepNs,
} from '../../src/title/sampling-step.ts'
import { draws } from '../draws.ts'
import { random } from './infer/simulate.ts'

/** The beginning of a capture, and changes at samples so far apart, in ns, each written in whole ns. */
const sampled = (stepNs: number, changes: number, seed = 1, write = Math.round): Float64Array => {
  const next = random(seed)
  let sample = 0
  const timesNs = Array.from({ length: changes }, () =>
    write((sample += 1 + Math.floor(next() * 10_000)) * stepNs),
  )
  return Float64Array.from([0, ...timesNs])
}

describe('the step on which samples lie', () => {
  it.each([20, 100, 125, 250, 1_000, 2_000, 2_500, 10_000, 50_000])('is told where it is %i ns', (stepNs) => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        expect(samplingStepNs(sampled(stepNs, 60, seed))).toBe(stepNs)
      }),
      { numRuns: draws(50) },
    )
  })

  it.each([48e6, 24e6, 12e6, 6e6, 3e6, 900e3, 600e3, 300e3, 150e3, 70e3, 21e3])(
    'is told where it is not a whole number of ns, as at %i Hz, however times are written',
    (hz) => {
      for (const write of [Math.round, Math.floor])
        expect(samplingStepNs(sampled(1e9 / hz, 60, 3, write))).toBeCloseTo(1e9 / hz, 6)
    },
  )

  it('does not hang on when the capture begins, or on when its first change comes', () => {
    const later = sampled(2_000, 60).map((ns, k) => (k === 0 ? 0 : ns + 613))
    expect(samplingStepNs(later)).toBe(2_000)
    for (const write of [Math.round, Math.floor]) {
      const timesNs = sampled(1e9 / 300e3, 60, 5, write)
      timesNs[0] = 1_417
      expect(samplingStepNs(timesNs)).toBeCloseTo(1e9 / 300e3, 6)
    }
  })

  it('is the longest of those that fit', () => {
    expect(samplingStepNs(sampled(1e9 / 300e3, 60))).toBeCloseTo(1e9 / 300e3, 6)
    expect(samplingStepNs(sampled(3 * 2_000, 60))).toBe(2_000)
  })

  it('is told by few changes where it is long, and takes more where it is short', () => {
    const least = (stepNs: number): number => {
      for (let changes = 1; ; changes++) if (samplingStepNs(sampled(stepNs, changes)) !== null) return changes
    }
    expect([20, 100, 1_000, 2_000, 50_000].map(least)).toEqual([11, 8, 6, 5, 4])
  })

  it('is none where changes come at any ns, or on one so short that it hides nothing', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        expect(samplingStepNs(sampled(1, 12, seed))).toBeNull()
        expect(samplingStepNs(sampled(19, 60, seed))).toBeNull()
      }),
      { numRuns: draws(100) },
    )
    expect(samplingStepNs(Float64Array.from([0]))).toBeNull()
    expect(samplingStepNs(new Float64Array())).toBeNull()
  })

  it('is none where one change of many lies off it', () => {
    for (const stepNs of [250, 2_000, 1e9 / 300e3]) {
      const timesNs = sampled(stepNs, 60)
      timesNs[30] = (timesNs[30] as number) + 7
      expect(samplingStepNs(timesNs)).toBeNull()
    }
  })
})

/** What samples show of reads that all take the same phases, in ns: how many cycles, and when each edge comes, from the true start. */
function seen(phasesNs: readonly number[], sampledNs: number, next: () => number): number[] {
  const turns = phasesNs.reduce<number[]>((all, ns) => [...all, (all.at(-1) as number) + ns], [0])
  const isLow = (ns: number): boolean => ns >= 0 && turns.filter((turn) => turn <= ns).length % 2 === 1
  const edges: number[] = []
  const last = turns.at(-1) as number
  for (let ns = next() * sampledNs, low = false; ns < last + sampledNs; ns += sampledNs)
    if (isLow(ns) !== low) {
      low = !low
      edges.push(ns)
    }
  return edges
}

describe('what samples can miss', () => {
  it('is nothing up to the time from write to write of a program', () => {
    expect([null, 100, 1_000, 1_001, 2_000].map(canHideEdges)).toEqual([false, false, false, true, true])
  })

  it('is missed in all reads less and less likely', () => {
    const least = (sampledNs: number): number => {
      for (let reads = 1; ; reads++) if (!canHideInAll(sampledNs, reads)) return reads
    }
    // 1 - 1/2 to the power of 40, 1 - 1/5 to that of 124: one in 10^12.
    expect([2_000, 5_000].map(least)).toEqual([40, 124])
  })

  it('takes from a read a phase of at least 1 µs, so that there is room for so many cycles', () => {
    expect([1_000, 1_999, 2_000, 3_000, 4_000].map((ns) => mostCyclesIn(ns, 1_000))).toEqual([1, 1, 2, 2, 3])
    expect(mostCyclesIn(3_000, 2_000)).toBe(3)
  })

  it('moves the edges around it: no phases pass for fewer of them that come at one place', () => {
    let hidden = 0
    fc.assert(
      fc.property(
        fc.integer({ min: 1_100, max: 9_000 }),
        fc.array(fc.integer({ min: 1_000, max: 6_000 }), { minLength: 3, maxLength: 11 }),
        fc.nat(),
        (sampledNs, drawn, seed) => {
          const phasesNs = drawn.length % 2 === 1 ? drawn : drawn.slice(1)
          const next = random(seed)
          for (let k = 0; k < 8; k++) next()
          let reads = 1
          while (canHideInAll(sampledNs, reads)) reads++
          const all = Array.from({ length: reads }, () => seen(phasesNs, sampledNs, next))
          const edges = all[0]?.length ?? 0
          // Reads that do not look alike are not taken for one.
          if (edges === 0 || edges > phasesNs.length || all.some(({ length }) => length !== edges)) return
          hidden++
          const spreads = Array.from({ length: edges }, (_, edge) => {
            const places = all.map((read) => read[edge] as number)
            return Math.max(...places) - Math.min(...places)
          })
          expect(isOfOnePhase(Math.max(...spreads), sampledNs)).toBe(false)
        },
      ),
      { numRuns: draws(20_000) },
    )
    expect(hidden).toBeGreaterThan(10)
  })

  it('leaves the edges of what is seen whole where they are', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1_100, max: 3_000 }), fc.nat(), (sampledNs, seed) => {
        const next = random(seed)
        const all = Array.from({ length: 60 }, () => seen([4_000, 3_500, 5_000], sampledNs, next))
        for (let edge = 0; edge < 4; edge++) {
          const places = all.map((read) => read[edge] as number)
          expect(isOfOnePhase(Math.max(...places) - Math.min(...places), sampledNs)).toBe(true)
        }
      }),
      { numRuns: draws(100) },
    )
  })
})
