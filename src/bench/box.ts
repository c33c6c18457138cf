import { frameNs } from '../port/clocks.ts'
import type { RangeNs } from '../port/range.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { atLeastNs, atMostNs } from '../title/tolerance.ts'
import type { StatedAdapter } from './judgement.ts'

/**
 * Everything that is in doubt when a title reads the port, each as a range. Within it every single edge, sample, reply, reset and
 * read may take its own value, whatever the others take: nothing is assumed to drift together.
 */
export interface Box {
  /** From the place of a read to its start. */
  readonly readStart: RangeNs
  /** From the place of each read to that of the next; the last one leads to the first of the next frame. */
  readonly toNextRead: readonly RangeNs[]
  readonly edgeSpacing: RangeNs
  /** From the edge that opens a phase to the sample in it. */
  readonly sample: RangeNs
  /** From what select does at the pad, resets included, to all six pins. */
  readonly reply: RangeNs
  /** From a rise to the idle reset. */
  readonly idleReset: RangeNs
  /** From the release of select to its rise; `null` where it is driven. */
  readonly rise: RangeNs | null
}

/** From an edge at the pad to the pins, with the profile's deliberate delay. */
export const replyRange = (
  { delayNs }: Pick<Profile, 'delayNs'>,
  { replyNs, delayStretch }: StatedAdapter,
): RangeNs => ({
  minNs: replyNs.minNs + delayNs,
  maxNs: replyNs.maxNs + delayNs * (1 + delayStretch),
})

/** From a rise to the idle reset, with the adapter's clock as far off as it may be. */
const idleResetRange = (
  { idleResetNs }: Pick<Profile, 'idleResetNs'>,
  { idleResetNs: late, clockPpm }: StatedAdapter,
): RangeNs => ({
  minNs: atLeastNs(idleResetNs, clockPpm) + late.minNs,
  maxNs: atMostNs(idleResetNs, clockPpm) + late.maxNs,
})

/** From the place of each read to that of the next, with the console's clock as far off as it may be. */
function toNextRead({ readOffsetsNs, standard, clockPpm }: Title): RangeNs[] {
  const firstNs = readOffsetsNs[0] as number
  return readOffsetsNs.map((offsetNs, k) => {
    const ns = (readOffsetsNs[k + 1] ?? firstNs + frameNs(standard)) - offsetNs
    return { minNs: atLeastNs(ns, clockPpm), maxNs: atMostNs(ns, clockPpm) }
  })
}

export const boxOf = (
  profile: Pick<Profile, 'delayNs' | 'idleResetNs'>,
  title: Title,
  adapter: StatedAdapter,
): Box => ({
  readStart: { minNs: 0, maxNs: title.readJitterNs },
  toNextRead: toNextRead(title),
  edgeSpacing: title.edgeSpacingNs,
  sample: title.sampleAfterEdgeNs,
  reply: replyRange(profile, adapter),
  idleReset: idleResetRange(profile, adapter),
  rise: title.drive.kind === 'released' ? title.drive.riseNs : null,
})
