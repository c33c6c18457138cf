import fc from 'fast-check'
import { expect, test } from 'vitest'
import { arbVisit } from './arbitrary-pad.ts'
import { visit } from './host-visits.ts'
import { PadRig } from './pad-rig.ts'

/** Done by `npm run test:proof`; host-chip.test.ts does a few of the same. */

const RUNS = 500
const LIMIT_MS = 3_600_000

test(
  `${RUNS} pads with whatever may be wrong with one leave nothing behind`,
  () => {
    let rig = new PadRig()
    let visits = 0
    fc.assert(
      fc.property(arbVisit, (one) => {
        // Now and then from power-on: the state that one leaves is what the next meets.
        if (visits++ % 25 === 0) rig = new PadRig()
        expect(visit(rig, one)).toBeNull()
      }),
      { numRuns: RUNS, endOnFailure: true },
    )
  },
  LIMIT_MS,
)
