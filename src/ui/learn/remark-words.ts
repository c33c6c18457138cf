import type { Remark } from '../../pad/learn/remarks.ts'
import type { ReportPlace } from '../../pad/learn/places.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { askName } from './ask-words.ts'
import { remarkTexts as t } from './layout-texts.ts'

const ENDS = { x: { low: 'left', high: 'right' }, y: { low: 'up', high: 'down' } } as const

/**
 * A remark of the learn core, for people.
 *
 * @param label what a place is called
 */
export function remarkWords(remark: Remark, label: (place: ReportPlace) => string): string {
  switch (remark.kind) {
    case 'aside':
      return t.aside({ why: remark.why, place: label(remark.place) })
    case 'two-places': {
      const [taken, other] = [label(remark.taken), label(remark.other)]
      return t.twoPlaces({ control: CONTROL_WORDS[remark.control], taken, other })
    }
    case 'shared':
      return t.shared({ one: askName(remark.ask), other: askName(remark.with) })
    case 'weak':
      return t.weak({ control: CONTROL_WORDS[remark.control], percent: remark.percent })
    case 'weak-end': {
      const { stick, axis, end, percent } = remark
      return t.weakEnd({ stick, way: ENDS[axis][end], percent })
    }
    case 'drifts':
      return t.drifts(remark)
    case 'not-rolled':
      return t.notRolled(remark)
    case 'odd-hat':
      return t.oddHat(remark)
    case 'half-stick':
      return t.halfStick(remark)
  }
}
