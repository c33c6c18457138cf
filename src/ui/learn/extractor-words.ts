import type { Extractor, Field } from '../../pad/layout/schema.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { t } from './layout-texts.ts'

/** How the places of a layout are said. */

/** What an extractor finds: "Face south", "D-pad, all directions", "Left stick, left to right". */
export function foundWord(extractor: Extractor): string {
  switch (extractor.kind) {
    case 'threshold':
    case 'array':
      return CONTROL_WORDS[extractor.control]
    case 'hat':
      return t.cross(extractor)
    case 'axis':
      return t.axis(extractor)
  }
}

/** "byte 3, bit 5": as a listing of the report's bytes shows it, both from 0. */
export const placeWord = ({ bit }: Pick<Field, 'bit'>): string =>
  t.byteAndBit({ byte: bit >> 3, bit: bit & 7 })

/** What values mean. */
export function valuesWord(extractor: Extractor): string {
  switch (extractor.kind) {
    case 'threshold': {
      const { press, release, field } = extractor
      if (field.bits === 1) return t.heldAtValue({ press })
      return press >= release ? t.heldFromUp({ press, release }) : t.heldFromDown({ press, release })
    }
    case 'array':
      return t.heldInList(extractor)
    case 'hat':
      return t.hat(extractor)
    case 'axis':
      return t.range(extractor)
  }
}
