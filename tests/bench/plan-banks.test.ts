import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { compareFits, planBanks } from '../../src/bench/plan/plan-banks.ts'
import type { Fit } from '../../src/bench/plan/plan-banks.ts'
import { draws } from '../draws.ts'

const CLEAN_FROM_NS = 200

const fitOf = (marginNs: number | null): Fit => ({
  verdict: marginNs === null || marginNs >= CLEAN_FROM_NS ? 'clean' : marginNs > 0 ? 'tight' : 'misread',
  marginNs,
})

/** Margins from few values, so that plans tie and the later parts of the score decide. */
const arbFit: fc.Arbitrary<Fit> = fc.oneof(
  { weight: 4, arbitrary: fc.constantFrom(-50, 0).map(fitOf) },
  { weight: 2, arbitrary: fc.constantFrom(1, 60, 199).map(fitOf) },
  { weight: 3, arbitrary: fc.constantFrom(200, 201, 900, null).map(fitOf) },
)

const arbTable = (profiles: number, titles: number): fc.Arbitrary<Fit[][]> =>
  fc
    .tuple(fc.integer({ min: 1, max: profiles }), fc.integer({ min: 1, max: titles }))
    .chain(([rows, columns]) =>
      fc.array(fc.array(arbFit, { minLength: columns, maxLength: columns }), {
        minLength: rows,
        maxLength: rows,
      }),
    )

/** The four things that a plan is compared by, worked out from their words and nothing else. */
function scoreOf(table: readonly (readonly Fit[])[], chosen: readonly number[]): number[] {
  const columns = (table[0] ?? []).map((_, title) => chosen.map((row) => table[row]?.[title] as Fit))
  const margins = columns
    .filter((fits) => fits.some(({ verdict }) => verdict !== 'misread'))
    .map((fits) =>
      Math.max(
        ...fits.map(({ verdict, marginNs }) => (verdict === 'misread' ? -Infinity : (marginNs ?? Infinity))),
      ),
    )
  const clean = columns.filter((fits) => fits.some(({ verdict }) => verdict === 'clean')).length
  return [margins.length, -chosen.length, clean, Math.min(Infinity, ...margins)]
}

const better = (p: readonly number[], q: readonly number[]): boolean => {
  const k = p.findIndex((value, at) => value !== q[at])
  return k !== -1 && (p[k] as number) > (q[k] as number)
}

/** All choices of at most `most` of `count` rows. */
function* choices(count: number, most: number, from = 0): Generator<number[]> {
  yield []
  if (most === 0) return
  for (let k = from; k < count; k++) for (const rest of choices(count, most - 1, k + 1)) yield [k, ...rest]
}

describe('planBanks', () => {
  it('no choice of profiles scores better, tried one by one', () => {
    fc.assert(
      fc.property(arbTable(7, 9), fc.integer({ min: 1, max: 4 }), (table, banks) => {
        const { chosen } = planBanks(table, banks)
        const score = scoreOf(table, chosen)
        expect(chosen.length).toBeLessThanOrEqual(banks)
        expect(new Set(chosen).size).toBe(chosen.length)
        for (const other of choices(table.length, banks))
          expect(better(scoreOf(table, other), score)).toBe(false)
      }),
      { numRuns: draws(400) },
    )
  })

  it('bank 1 serves no fewer titles than any other', () => {
    fc.assert(
      fc.property(arbTable(6, 12), (table) => {
        const served = planBanks(table).chosen.map((row) => scoreOf(table, [row])[0] as number)
        expect(served).toEqual([...served].sort((p, q) => q - p))
      }),
    )
  })

  it('takes the larger least margin where all else is equal', () => {
    const table = [
      [fitOf(300), fitOf(400)],
      [fitOf(350), fitOf(350)],
    ]
    expect(planBanks(table).chosen).toEqual([1])
  })

  it('prefers one profile to two, however tight', () => {
    const table = [
      [fitOf(900), fitOf(-1)],
      [fitOf(-1), fitOf(900)],
      [fitOf(1), fitOf(1)],
    ]
    expect(planBanks(table).chosen).toEqual([2])
  })

  it('chooses nothing where nothing serves, and where there are no titles', () => {
    expect(planBanks([[fitOf(0)], [fitOf(-5)]]).chosen).toEqual([])
    expect(planBanks([[], []]).chosen).toEqual([])
    expect(planBanks([]).chosen).toEqual([])
  })
})

describe('a shelf of 200 titles and 60 candidate profiles', () => {
  /** All choices of at most three of 60: one more level would be every plan there is. */
  const BRANCHES_OF_THREE = 1 + 60 + (60 * 59) / 2 + (60 * 59 * 58) / 6

  const shelf = (seed: number, percentServed: number) =>
    fc.sample(
      fc.array(
        fc.array(
          fc
            .tuple(fc.integer({ min: 0, max: 99 }), fc.integer({ min: 1, max: 2000 }))
            .map(([dice, marginNs]) => fitOf(dice < percentServed ? marginNs : -marginNs)),
          { minLength: 200, maxLength: 200 },
        ),
        { minLength: 60, maxLength: 60 },
      ),
      { seed, numRuns: 1 },
    )[0] as Fit[][]

  it.each([5, 25, 50, 75, 90, 97, 100])(
    'is planned in few branches where each serves %i in 100',
    (percent) => {
      const { chosen, nodes } = planBanks(shelf(percent, percent))
      expect(chosen.length).toBeGreaterThan(0)
      expect(nodes).toBeLessThan(BRANCHES_OF_THREE)
    },
  )
})

describe('compareFits', () => {
  it('orders misread, tight, clean, and by margin within', () => {
    const ordered = [fitOf(1), fitOf(199), fitOf(200), fitOf(5000), fitOf(null)]
    ordered.forEach((p, k) =>
      ordered.forEach((q, at) => expect(Math.sign(compareFits(p, q))).toBe(Math.sign(k - at))),
    )
    expect(compareFits(fitOf(0), fitOf(-700))).toBe(0)
  })
})
