import { INPUTS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import { scheduleOf } from './schedule.ts'
import type { Title } from './schema.ts'

/** The inputs that a title samples, in the usual order. */
export function inputsReadBy(title: Title): readonly Input[] {
  const { samples } = scheduleOf(title)
  const read = new Set(samples.flatMap(({ pins, readBack }) => [...Object.values(pins), readBack]))
  return INPUTS.filter((input) => read.has(input))
}
