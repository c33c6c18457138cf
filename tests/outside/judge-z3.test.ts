import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import { IDENTIFIES } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from '../bench/arbitrary-profile.ts'
import { arbTitle } from '../bench/arbitrary-title.ts'
import { Pair } from './solver/pair.ts'
import { Solver } from './solver/solver.ts'

/**
 * A title in front of a profile as an SMT solver understands it: every instant, reply and reset a whole number within its range, every
 * rule of the port a formula, and the question whether any timing of the first frames misreads. The judge has to say the same.
 */

let solver: Solver
beforeAll(async () => {
  solver = await Solver.start()
})
afterAll(() => solver.stop())

const FRAMES = 2

const arbSmall = arbTitle
  .filter(({ cyclesPerRead, readOffsetsNs }) => cyclesPerRead * readOffsetsNs.length <= 3)
  .map((title): Title => ({ ...title, takesOpposite: true }))

describe('an SMT solver', () => {
  test('finds a timing that misreads exactly where the judge says that there is one', async () => {
    const kinds = { right: 0, wrong: 0, later: 0 }
    await fc.assert(
      fc.asyncProperty(arbTypicalProfile, arbSmall, arbAdapter, async (profile, title, adapter) => {
        const box = boxOf(profile, title, adapter)
        const exploration = explored(title, profile.chart, box)
        const { weighed } = weighTitle(profile, title, box, exploration)
        const examples = [...weighed.wrongs.values()]
        // Past the first frames the solver is not asked; a belief of an early read can be wrong beside one that only comes later.
        const isLate = exploration.samples.some(
          ({ sample, awayNs, frame }) => awayNs === 0 && frame >= FRAMES && sample.uses.includes(IDENTIFIES),
        )
        if (
          isLate ||
          (examples.length > 0 && examples.every(({ example }) => example.place.frame > FRAMES))
        ) {
          kinds.later++
          return
        }
        kinds[examples.length > 0 ? 'wrong' : 'right']++
        const answer = await new Pair(solver, profile, title, adapter).fromPowerOn(FRAMES)
        expect(answer === 'misreads').toBe(examples.length > 0)
      }),
      { numRuns: process.env['NINEPIN_LONG'] ? 2_000 : 200, endOnFailure: true },
    )
    expect(kinds.right).toBeGreaterThan(10)
    expect(kinds.wrong).toBeGreaterThan(10)
  })
})
