import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import type { StatedAdapter } from './judgement.ts'

/** One corner of all ranges: every time that is in doubt has a value. All in ns. */
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

const ends = ({ minNs, maxNs }: { minNs: number; maxNs: number }): number[] =>
  minNs === maxNs ? [minNs] : [minNs, maxNs]

/** From an edge at the pad to the pins, with the profile's deliberate delay. */
export const replyRange = ({ delayNs }: Profile, { replyNs, delayStretch }: StatedAdapter) => ({
  minNs: replyNs.minNs + delayNs,
  maxNs: replyNs.maxNs + delayNs * (1 + delayStretch),
})

/** All corners of the ranges of an adapter and a title, with the profile's own times added. */
export function corners(profile: Profile, title: Title, adapter: StatedAdapter): Corner[] {
  const all: Corner[] = []
  for (const edgeSpacingNs of ends(title.edgeSpacingNs))
    for (const sampleAfterEdgeNs of ends(title.sampleAfterEdgeNs))
      for (const replyNs of ends(replyRange(profile, adapter)))
        for (const lateNs of ends(adapter.idleResetNs))
          for (const riseNs of title.drive.kind === 'released' ? ends(title.drive.riseNs) : [0])
            all.push({
              edgeSpacingNs,
              sampleAfterEdgeNs,
              replyNs,
              idleResetNs: profile.idleResetNs + lateNs,
              riseNs,
            })
  return all
}

/** The middle of all ranges, in whole ns. */
export function middleCorner(profile: Profile, title: Title, adapter: StatedAdapter): Corner {
  const all = corners(profile, title, adapter)
  const first = all[0] as Corner
  const last = all[all.length - 1] as Corner
  return Object.fromEntries(
    Object.entries(first).map(([key, value]) => [key, Math.floor((value + last[key as keyof Corner]) / 2)]),
  ) as unknown as Corner
}
