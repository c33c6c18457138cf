import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { aliases, tryingRates } from '../../../src/bench/repeat/aliases.ts'
import type { RepeatFinding, RepeatSeen } from '../../../src/bench/repeat/seen.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { workToEnd } from '../../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { rateByKey, rateRows, rateSentence } from '../../../src/ui/repeat/rate-table.ts'

/** What a title of two reads a frame sees of all rates for A. */
const grid = ((): readonly RepeatSeen[] => {
  const seen = workToEnd(tryingRates(BUILT_IN_PROFILES['six-button'], PLAIN.released, REFERENCE_ADAPTER, 'a'))
  if (!seen.ok) throw new Error(seen.error)
  return seen.value
})()

describe('the table of rates', () => {
  it('has a cell for each rate, and offers those that are seen as asked', () => {
    const rows = rateRows(grid)
    expect(rows.map((row) => row.length)).toEqual(Array.from({ length: 8 }, () => 8))
    rows.forEach((row, on) =>
      row.forEach((cell, off) => expect(cell.rate).toEqual({ pressedReads: on + 1, releasedReads: off + 1 })),
    )
    const refused = rows.flat().filter(({ hz }) => hz === null)
    expect(refused.map(({ rate }) => rate)).toEqual(aliases(grid).map(({ rate }) => rate))
    // One read on, one off, two reads a frame: each frame is like the one before.
    expect(refused).toEqual([
      { rate: { pressedReads: 1, releasedReads: 1 }, hz: null, says: 'same in each frame' },
    ])
    // Two reads in each of 59.92 frames a second (SMPTE 170M, 262 lines), one press in three reads: 39.9.
    expect(rows[0]?.[1]?.hz).toBe('39.9')
  })

  it('counts them in a sentence', () => {
    const [one] = grid
    if (!one) throw new Error('a rate was expected')
    const found = (...findings: RepeatFinding[]) => findings.map((finding) => ({ ...one, finding }))
    expect(rateSentence(grid)).toBe('63 of 64 are seen as asked; the other one: same in each frame.')
    expect(rateSentence(found('as-asked', 'as-asked'))).toBe('All 2 are seen as asked.')
    expect(rateSentence(found('as-asked', 'uneven', 'uneven', 'other-rate'))).toBe(
      '1 of 4 is seen as asked; the other 3: 2 uneven, 1 other rate.',
    )
  })

  it('is walked by keys, from one rate that can be chosen to another', () => {
    const rows = rateRows(grid)
    expect(rateByKey(rows, { row: 0, column: 1 }, 'ArrowRight')).toEqual({ row: 0, column: 2 })
    expect(rateByKey(rows, { row: 3, column: 3 }, 'End')).toEqual({ row: 3, column: 7 })
    expect(rateByKey(rows, { row: 0, column: 4 }, 'Home')).toEqual({ row: 0, column: 1 })
    expect(rateByKey(rows, { row: 0, column: 1 }, 'ArrowLeft')).toEqual({ row: 0, column: 1 })
    expect(rateByKey(rows, { row: 0, column: 1 }, 'Enter')).toBeNull()
  })

  it('steps over rates that cannot be chosen', () => {
    const rows = rateRows(grid)
    const gap = rows.map((row, on) =>
      row.map((cell, off) => (on === 4 || off === 4 ? { ...cell, hz: null } : cell)),
    )
    expect(rateByKey(gap, { row: 3, column: 3 }, 'ArrowRight')).toEqual({ row: 3, column: 5 })
    expect(rateByKey(gap, { row: 5, column: 3 }, 'ArrowUp')).toEqual({ row: 3, column: 3 })
    expect(rateByKey(gap, { row: 7, column: 3 }, 'ArrowDown')).toEqual({ row: 7, column: 3 })
  })

  it('never leads to a rate that cannot be chosen, whatever the grid', () => {
    const [one] = grid
    if (!one) throw new Error('a rate was expected')
    const arbGrid = fc
      .array(fc.boolean(), { minLength: 16, maxLength: 16 })
      .filter((clean) => clean.includes(true))
      .map((clean) =>
        clean.map((isClean, k): RepeatSeen => ({
          ...one,
          rate: { pressedReads: Math.floor(k / 4) + 1, releasedReads: (k % 4) + 1 },
          finding: isClean ? 'as-asked' : 'uneven',
        })),
      )
    const keys = fc.array(fc.constantFrom('ArrowUp', 'ArrowDown', 'ArrowLeft', 'ArrowRight', 'Home', 'End'), {
      maxLength: 30,
    })
    fc.assert(
      fc.property(arbGrid, keys, (some, pressed) => {
        const rows = rateRows(some)
        const first = some.findIndex(({ finding }) => finding === 'as-asked')
        let at = { row: Math.floor(first / 4), column: first % 4 }
        for (const key of pressed) {
          const to = rateByKey(rows, at, key)
          expect(to && rows[to.row]?.[to.column]?.hz).toEqual(expect.any(String))
          if (to) at = to
        }
      }),
    )
  })
})
