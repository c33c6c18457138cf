import type { RangeNs } from '../../port/range.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { JudgeOptions } from '../judge.ts'
import type { Times } from './play-reads.ts'

const middleNs = ({ minNs, maxNs }: RangeNs): number => Math.floor((minNs + maxNs) / 2)
const ends = ({ minNs, maxNs }: RangeNs): number[] => (minNs === maxNs ? [minNs] : [minNs, maxNs])
const ON_TIME = () => 0

const rise = ({ drive }: Title): RangeNs =>
  drive.kind === 'released' ? drive.riseNs : { minNs: 0, maxNs: 0 }

/** From select to the pins, `moreNs` beyond what the adapter states. */
const reply = ({ delayNs }: Profile, { adapter }: JudgeOptions, moreNs: number): RangeNs => ({
  minNs: adapter.replyNs.minNs + delayNs,
  maxNs: adapter.replyNs.maxNs + delayNs * (1 + adapter.delayStretch) + moreNs,
})

/** From the last rise to the idle reset, with the adapter's clock off as far as it may be and `moreNs` beyond. */
function idleReset({ idleResetNs }: Profile, { adapter }: JudgeOptions, moreNs: number): RangeNs {
  const driftNs = Math.ceil((idleResetNs * adapter.clockPpm) / 1_000_000) + moreNs
  return {
    minNs: Math.max(0, idleResetNs + adapter.idleResetNs.minNs - driftNs),
    maxNs: idleResetNs + adapter.idleResetNs.maxNs + driftNs,
  }
}

/** Every time in the middle of its range, and every read in its place. */
export const usualTimes = (profile: Profile, title: Title, options: JudgeOptions): Times => ({
  edgeSpacingNs: middleNs(title.edgeSpacingNs),
  sampleAfterEdgeNs: middleNs(title.sampleAfterEdgeNs),
  replyNs: middleNs(reply(profile, options, 0)),
  idleResetNs: middleNs(idleReset(profile, options, 0)),
  riseNs: middleNs(rise(title)),
  lateNs: ON_TIME,
  clockPpm: 0,
})

/** The reads of a frame drawn together as far as they can be, and apart: what an idle reset between them minds. */
function lateReads({ readJitterNs, readOffsetsNs }: Title): ((read: number) => number)[] {
  if (readJitterNs === 0) return [ON_TIME]
  const last = Math.max(1, readOffsetsNs.length - 1)
  const apart = (read: number) => Math.round((readJitterNs * (read % readOffsetsNs.length)) / last)
  return [(read) => readJitterNs - apart(read), apart]
}

/** The ends of all ranges in all combinations, the adapter's own widened by the margin that a clean read has to spare. */
export function doubtfulTimes(profile: Profile, title: Title, options: JudgeOptions): Times[] {
  const { clockPpm } = title
  const late = lateReads(title)
  const all: Times[] = []
  for (const edgeSpacingNs of ends(title.edgeSpacingNs))
    for (const sampleAfterEdgeNs of ends(title.sampleAfterEdgeNs))
      for (const replyNs of ends(reply(profile, options, options.marginNs)))
        for (const idleResetNs of ends(idleReset(profile, options, options.marginNs)))
          for (const riseNs of ends(rise(title)))
            for (const lateNs of late)
              for (const ppm of ends({ minNs: -clockPpm, maxNs: clockPpm }))
                all.push({
                  edgeSpacingNs,
                  sampleAfterEdgeNs,
                  replyNs,
                  idleResetNs,
                  riseNs,
                  lateNs,
                  clockPpm: ppm,
                })
  return all
}
