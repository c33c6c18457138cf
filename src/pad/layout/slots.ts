import { CONTROLS, controlMask } from '../controls.ts'
import type { ControlMask } from '../controls.ts'
import type { Extractor } from './schema.ts'

const WAYS = ['up', 'down', 'left', 'right'] as const
const WAYS_OF = { x: ['left', 'right'], y: ['up', 'down'] } as const

/** What an extractor fills, by name: an axis of a stick, or controls. Of two that fill the same, only one is wanted. */
export const slotsOf = (one: Extractor): readonly string[] => {
  if (one.kind === 'axis') return [`${one.stick} ${one.axis}`]
  return one.kind === 'hat' ? WAYS.map((way) => `${one.cross}-${way}`) : [one.control]
}

/** Whether two extractors fill the same. */
export const fillSame = (a: Extractor, b: Extractor): boolean => {
  const slots = slotsOf(a)
  return slotsOf(b).some((slot) => slots.includes(slot))
}

/** The controls that extractors hold, stick directions among them. */
export const controlsOf = (extractors: readonly Extractor[]): ControlMask =>
  controlMask(
    CONTROLS.filter((control) =>
      extractors.some((one) =>
        one.kind === 'axis'
          ? WAYS_OF[one.axis].some((way) => control === `stick-${one.stick}-${way}`)
          : slotsOf(one).includes(control),
      ),
    ),
  )
