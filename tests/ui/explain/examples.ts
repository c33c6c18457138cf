import fc from 'fast-check'
import { explain } from '../../../src/bench/explain.ts'
import type { Explanation } from '../../../src/bench/explain.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Title } from '../../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from '../../bench/arbitrary-profile.ts'
import { arbTitle } from '../../bench/arbitrary-title.ts'
import { PLAIN } from '../../bench/plain-titles.ts'
import { withShort } from '../../bench/short-titles.ts'

export interface Explained {
  readonly profile: Profile
  readonly title: Title
  readonly explanation: Explanation
}

/** Misreads of all kinds. */
export const arbExplained: fc.Arbitrary<Explained> = fc
  .tuple(arbTypicalProfile, arbTitle, arbAdapter)
  .map(([profile, title, adapter]) => ({ profile, title, explanation: explain(profile, title, { adapter }) }))
  .filter((one): one is Explained => one.explanation !== null)

/** A title before the six-button profile and the adapter that is planned. */
export function explained(title: Title): Explained {
  const profile = BUILT_IN_PROFILES['six-button']
  const explanation = explain(profile, title, { adapter: REFERENCE_ADAPTER })
  if (explanation === null) throw new Error('nothing to explain')
  return { profile, title, explanation }
}

/** Reads five cycles in one go: the third low answers with the identification. */
export const burst = (): Explained => explained(PLAIN.burst)

/** Samples 40 ns after the edge, where the reply, cable included, can take 178 ns. */
export const early = (): Explained =>
  explained(
    withShort(PLAIN.quick, {
      cyclesPerRead: 2,
      edgeSpacingNs: { minNs: 2_600, maxNs: 2_600 },
      sampleAfterEdgeNs: { minNs: 40, maxNs: 60 },
    }),
  )
