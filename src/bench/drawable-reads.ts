import type { NodeSample, ReadPlace, Schedule, ScheduleNode } from '../title/schedule.ts'
import type { Read, Step, Title } from '../title/schema.ts'

/** Reads of a mode that do the same, whenever they come: one drawing does for all of them. */
export interface DrawableRead {
  /** The first of them in the file. */
  readonly place: ReadPlace
  /** Whether a read of the file is one of them. */
  readonly has: (place: ReadPlace | null) => boolean
}

/** The reads of a title that take samples, as far as they are unlike, in the order of the file. */
export function drawableReads({ modes }: Title): readonly DrawableRead[] {
  return modes.flatMap(({ reads }, mode) => {
    const does = reads.map(codeOf)
    return reads.flatMap(({ steps }, read): DrawableRead[] => {
      const own = does[read]
      if (!steps.some(takesSample) || does.indexOf(own as string) !== read) return []
      const has = (place: ReadPlace | null) => place?.mode === mode && does[place.read] === own
      return [{ place: { mode, read }, has }]
    })
  })
}

const takesSample = (step: Step): boolean =>
  'sample' in step || ('repeat' in step && step.steps.some((inner) => 'sample' in inner))

/** What is known of a read changes nothing of what it does. */
const codeOf = ({ steps, stretch }: Read): string =>
  JSON.stringify([steps, stretch], (key, value: unknown) =>
    key === 'source' || key === 'possible' ? undefined : value,
  )

/** The read that a sample is taken in. */
export function readOfSample({ samples }: Schedule, { uses }: NodeSample): ReadPlace | null {
  for (const use of uses) {
    const taken = samples[use]
    if (taken) return taken.place
  }
  return null
}

/** The read that a node belongs to; `null` where that read takes no sample. */
export function readOfNode(schedule: Schedule, { read }: ScheduleNode): ReadPlace | null {
  const [sample] = schedule.nodes.flatMap((node) => (node.read === read ? node.samples : []))
  return sample === undefined ? null : readOfSample(schedule, sample)
}
