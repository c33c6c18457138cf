import { DOWN, LEFT, RIGHT, UP } from '../../pad/stick/direction.ts'
import { listWords } from '../../words/lists.ts'

/** What a stick holds, in words and as the controls are called. */

const NAMES = [
  [UP, 'Up'],
  [DOWN, 'Down'],
  [LEFT, 'Left'],
  [RIGHT, 'Right'],
] as const

const namesOf = (directions: number): string[] =>
  NAMES.filter(([bit]) => (directions & bit) !== 0).map(([, name]) => name)

/** "Up Right", as it is written on the map. */
export const directionLabel = (directions: number): string => namesOf(directions).join(' ')

/** "Up and Right", "nothing". */
export const heldWords = (directions: number): string =>
  directions === 0 ? 'nothing' : listWords(namesOf(directions))
