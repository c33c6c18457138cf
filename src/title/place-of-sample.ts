import type { StepPlace } from './schedule.ts'
import { scheduleOf } from './schedule.ts'
import type { StepAt } from './map-steps.ts'
import type { Title } from './schema.ts'

/** Cycle and level of a sample of the file; of one in a repeat, those of its first turn. */
export function placeOfSample(title: Title, { mode, read, step, inner }: StepAt): StepPlace {
  let index = 0
  const steps = title.modes[mode]?.reads[read]?.steps ?? []
  for (const one of steps.slice(0, step)) index += 'repeat' in one ? one.repeat * one.steps.length : 1
  index += inner ?? 0
  const found = scheduleOf(title).samples.find(
    ({ place }) => place.mode === mode && place.read === read && place.step === index,
  )
  if (found === undefined) throw new Error(`the title has no sample at step ${step}`)
  return found.place
}
