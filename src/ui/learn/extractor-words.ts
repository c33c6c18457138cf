import type { Extractor, Field } from '../../pad/layout/schema.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'

/** How the places of a layout are said. */

const CROSS_WORDS = {
  dpad: 'D-pad, all directions',
  'stick-left': 'Left stick as directions',
  'stick-right': 'Right stick as directions',
} as const

const AXIS_WORDS = { x: 'left to right', y: 'up to down' } as const

/** What an extractor finds: "Face south", "D-pad, all directions", "Left stick, left to right". */
export function foundWord(extractor: Extractor): string {
  switch (extractor.kind) {
    case 'threshold':
    case 'array':
      return CONTROL_WORDS[extractor.control]
    case 'hat':
      return CROSS_WORDS[extractor.cross]
    case 'axis':
      return `${extractor.stick === 'left' ? 'Left' : 'Right'} stick, ${AXIS_WORDS[extractor.axis]}`
  }
}

/** "byte 3, bit 5": as a listing of the report's bytes shows it, both from 0. */
export const placeWord = ({ bit }: Pick<Field, 'bit'>): string => `byte ${bit >> 3}, bit ${bit & 7}`

/** What values mean. */
export function valuesWord(extractor: Extractor): string {
  switch (extractor.kind) {
    case 'threshold': {
      const { press, release, field } = extractor
      if (field.bits === 1) return `held at ${press}`
      return press >= release
        ? `held from ${press} up, let go at ${release}`
        : `held from ${press} down, let go at ${release}`
    }
    case 'array':
      return `held while one of ${extractor.count} is ${extractor.value}`
    case 'hat':
      return extractor.step === 1
        ? `${extractor.positions} positions clockwise, ${extractor.first} is up`
        : `${extractor.positions} positions clockwise, ${extractor.step} values each, up from ${extractor.first} on`
    case 'axis':
      return `${extractor.low} to ${extractor.high}, rests at ${extractor.centre}`
  }
}
