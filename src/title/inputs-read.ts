import { INPUTS } from '../port/pins.ts'
import type { Input } from '../port/pins.ts'
import type { Title } from './schema.ts'

/** The inputs that a title samples, in the usual order. */
export function inputsReadBy({ samples }: Title): readonly Input[] {
  const read = new Set(samples.flatMap(({ pins }) => Object.values(pins)))
  return INPUTS.filter((input) => read.has(input))
}
