import fc from 'fast-check'
import { readTitle } from '../../src/title/file.ts'
import type { Step, Takes, Title } from '../../src/title/schema.ts'
import { arbSteps } from './arbitrary-steps.ts'

export const TAKES: readonly Takes[] = [
  {},
  { 1: 'up', 2: 'down', 6: 'a', 9: 'start' },
  { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' },
  { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' },
]

/** Some samples may be something else, and six buttons may be told otherwise. What contradicts itself then stays as it was. */
export const arbOpen = fc.tuple(arbSteps, fc.gen()).map(([title, g]): Title => {
  const chance = (times: number) => g(fc.nat, times - 1) === 0
  let open = 0
  const opened = (step: Step): Step => {
    if (!('sample' in step) || open >= 2 || !chance(2)) return step
    open++
    return { ...step, possible: TAKES.filter(() => chance(2)) }
  }
  const named = JSON.stringify(title).includes('"told"')
  const told = { kind: 'told', by: [{ sample: 'told', low: [1, 2], high: [] }], holds: 'read' } as const
  const others = [{ kind: 'never' }, { kind: 'assumed' }, ...(named ? [told] : [])] as const
  const file = {
    ...title,
    modes: title.modes.map((mode) => ({
      ...mode,
      reads: mode.reads.map((read) => ({ ...read, steps: read.steps.map(opened) })),
    })),
    sixButtons: { ...title.sixButtons, possible: others.filter(() => chance(3)) },
  }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  return read.ok ? read.value : title
})
