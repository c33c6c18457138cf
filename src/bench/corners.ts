import type { RangeNs } from '../port/range.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { boxOf } from './box.ts'
import type { CabledAdapter } from './judgement.ts'

/** One timing in which all that repeats takes the same time every time. All in ns. */
export interface Corner {
  readonly edgeSpacingNs: number
  readonly sampleAfterEdgeNs: number
  /** From what select does at the pad, resets included, to the pins: deliberate delay and the adapter's reply time. */
  readonly replyNs: number
  /** From the last rise to the idle reset: what the profile asks for and the adapter's tolerance. */
  readonly idleResetNs: number
  /** From the release of select to its rise; 0 where it is driven. */
  readonly riseNs: number
}

const middle = ({ minNs, maxNs }: RangeNs): number => Math.floor((minNs + maxNs) / 2)

/** The middle of all ranges, in whole ns. */
export function middleCorner(profile: Profile, title: Title, adapter: CabledAdapter): Corner {
  const { edgeSpacing, sample, reply, idleReset, rise } = boxOf(profile, title, adapter)
  return {
    edgeSpacingNs: middle(edgeSpacing),
    sampleAfterEdgeNs: middle(sample),
    replyNs: middle(reply),
    idleResetNs: middle(idleReset),
    riseNs: rise === null ? 0 : middle(rise),
  }
}
