import type { RangeNs } from '../../port/range.ts'
import type { Profile } from '../../profile/schema.ts'
import { scheduleOf } from '../../title/schedule.ts'
import type { Title } from '../../title/schema.ts'
import { boxOf } from '../box.ts'
import type { JudgeOptions } from '../judgement.ts'
import { middleTiming } from '../play/timing.ts'
import type { Timing } from '../play/timing.ts'

/** Every time in the middle of its range. */
export const usualTiming = (profile: Profile, title: Title, { adapter }: JudgeOptions): Timing =>
  middleTiming(boxOf(profile, title, adapter))

/** One end of a range, of each the same one. */
type End = (range: RangeNs) => number

const least: End = ({ minNs }) => minNs
const most: End = ({ maxNs }) => maxNs

/** The ends at which times of one kind are tried; one will do where there is nothing in doubt. */
const endsOf = (ranges: readonly RangeNs[]): readonly End[] =>
  ranges.every(({ minNs, maxNs }) => minNs === maxNs) ? [least] : [least, most]

/** The reads of a frame drawn together as far as they can be, and apart: what an idle reset between them minds. */
function lateReads(title: Title): readonly Timing['lateNs'][] {
  const { nodes, readsPerFrame: reads } = scheduleOf(title)
  const isLate = nodes.some(({ next }) =>
    next.some((way) => way.kind === 'place' && way.late.maxNs > way.late.minNs),
  )
  if (!isLate) return [least]
  const apart = ({ minNs, maxNs }: RangeNs, read: number): number =>
    minNs + Math.round(((maxNs - minNs) * (read % reads)) / Math.max(1, reads - 1))
  return [(late, read) => late.maxNs + late.minNs - apart(late, read), apart]
}

/** The ends of all ranges in all combinations, the adapter's own widened by the margin that a clean read has to spare. */
export function doubtfulTimings(
  profile: Profile,
  title: Title,
  { adapter, marginNs }: JudgeOptions,
): Timing[] {
  const { nodes, rise } = scheduleOf(title)
  const ways = nodes.flatMap(({ next }) => next)
  const lasts = (kind: (typeof ways)[number]['kind']): RangeNs[] =>
    ways.filter((way) => way.kind === kind).map((way) => way.lasts)
  const box = boxOf(profile, title, adapter)
  const reply = { ...box.reply, maxNs: box.reply.maxNs + marginNs }
  const idleReset = {
    minNs: Math.max(0, box.idleReset.minNs - marginNs),
    maxNs: box.idleReset.maxNs + marginNs,
  }
  const late = lateReads(title)
  const all: Timing[] = []
  for (const gapNs of endsOf(lasts('gap')))
    for (const sampleNs of endsOf(nodes.flatMap(({ samples }) => samples.map(({ after }) => after))))
      for (const replies of endsOf([reply]))
        for (const resets of endsOf([idleReset]))
          for (const riseNs of endsOf(rise === null ? [] : [rise]))
            for (const toPlaceNs of endsOf(lasts('place')))
              for (const lateNs of late)
                all.push({
                  gapNs,
                  toPlaceNs,
                  lateNs,
                  sampleNs,
                  riseNs,
                  replyNs: () => replies(reply),
                  idleResetNs: () => resets(idleReset),
                })
  return all
}
