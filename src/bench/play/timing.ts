import type { RangeNs } from '../../port/range.ts'
import type { Box } from '../box.ts'

/** Where the times of one timing come from; each is asked for once, in the order in which it is needed. All in whole ns. */
export interface Timing {
  /** From a node of a schedule to the next, where no place lies between. */
  readonly gapNs: (lasts: RangeNs) => number
  /** From the place of a read to that of the next. */
  readonly toPlaceNs: (lasts: RangeNs) => number
  /** From the place of a read to its first node. @param read number of the read since power-on, from 0 */
  readonly lateNs: (late: RangeNs, read: number) => number
  /** From a node to a sample of it. */
  readonly sampleNs: (after: RangeNs) => number
  /** From the release of select to its rise. */
  readonly riseNs: (rise: RangeNs) => number
  /** From what the pad counts to the pins. Replies keep their order. */
  readonly replyNs: () => number
  /** From a rise to the idle reset. */
  readonly idleResetNs: () => number
}

/** The middle of a range, in whole ns. */
export const middleNs = ({ minNs, maxNs }: RangeNs): number => Math.floor((minNs + maxNs) / 2)

/** Every time in the middle of its range. */
export function middleTiming({ reply, idleReset }: Pick<Box, 'reply' | 'idleReset'>): Timing {
  const [replyNs, idleResetNs] = [middleNs(reply), middleNs(idleReset)]
  return {
    gapNs: middleNs,
    toPlaceNs: middleNs,
    lateNs: middleNs,
    sampleNs: middleNs,
    riseNs: middleNs,
    replyNs: () => replyNs,
    idleResetNs: () => idleResetNs,
  }
}
