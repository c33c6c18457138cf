import type { StepPlace } from './schedule.ts'
import { scheduleOf } from './schedule.ts'
import type { StepAt } from './map-steps.ts'
import type { Title } from './schema.ts'

/** Samples of the schedule that one of the file becomes, by their index: one for each turn of a repeat, and one more each where it reads select back. */
export function samplesAt(title: Title, { mode, read, step, inner }: StepAt): number[] {
  const { first, every, turns } = writtenAt(title, { mode, read, step, inner })
  const written = Array.from({ length: turns }, (_, turn) => first + turn * every)
  return scheduleOf(title).samples.flatMap(({ place }, k) =>
    place.mode === mode && place.read === read && written.includes(place.step) ? [k] : [],
  )
}

/** Where a step of the file stands with the repeats of its read written out: its first turn, how far apart the turns are, and how many. */
function writtenAt(title: Title, { mode, read, step, inner }: StepAt) {
  const steps = title.modes[mode]?.reads[read]?.steps ?? []
  let first = inner ?? 0
  for (const one of steps.slice(0, step)) first += 'repeat' in one ? one.repeat * one.steps.length : 1
  const own = steps[step]
  return own && 'repeat' in own
    ? { first, every: own.steps.length, turns: own.repeat }
    : { first, every: 1, turns: 1 }
}

/** Cycle and level of a sample of the file; of one in a repeat, those of its first turn. */
export function placeOfSample(title: Title, at: StepAt): StepPlace {
  const [first] = samplesAt(title, at)
  const found = scheduleOf(title).samples[first ?? -1]
  if (found === undefined) throw new Error(`the title has no sample at step ${at.step}`)
  return found.place
}
