import * as v from 'valibot'
import { whole } from '../document/fields.ts'
import type { Frozen } from '../document/frozen.ts'
import { wholeNs } from './refused-times.ts'
import { t } from './title-file-texts.ts'
import { TITLE_LIMITS } from './title-limits.ts'

const MOST_SEEN = 1_000_000_000

/** Edges that a capture has and no read of the title, from one long rest to the next, with those of its reads that lie between. */
const StretchSchema = v.pipe(
  v.strictObject({
    startLevel: v.picklist(['low', 'high']),
    /** From the first edge, which is at 0, ascending; each turns the level. */
    edgesNs: v.pipe(
      v.array(wholeNs(0, TITLE_LIMITS.stretchNs)),
      v.minLength(1, () => t.oneEdge),
      v.maxLength(TITLE_LIMITS.stretchEdges),
    ),
    /** The shortest that it can be since the last rise before the first edge; `null`: not known. */
    sinceRiseNs: v.nullable(wholeNs(0, Number.MAX_SAFE_INTEGER)),
    /** How many such stretches the capture has. */
    seen: whole(1, MOST_SEEN),
  }),
  v.check(
    ({ edgesNs }) => edgesNs[0] === 0 && edgesNs.every((ns, k) => k === 0 || ns > (edgesNs[k - 1] as number)),
    () => t.edgesAscend,
  ),
)

export const LeftOverSchema = v.strictObject({
  stretches: v.pipe(v.array(StretchSchema), v.maxLength(TITLE_LIMITS.stretches)),
  /** Stretches that found no room here. */
  more: whole(0, MOST_SEEN),
  /** Time between two samples, where they were so far apart that edges can be missing. */
  sampledNs: v.exactOptional(whole(1, MOST_SEEN)),
})

/** What captures show and no read explains. */
export type LeftOver = Frozen<v.InferOutput<typeof LeftOverSchema>>
export type Stretch = LeftOver['stretches'][number]
