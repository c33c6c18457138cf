import { DOWN, LEFT, RIGHT, UP } from '../../pad/stick/direction.ts'
import { listWords } from '../../words/lists.ts'
import { directionTexts, t } from './stick-texts.ts'

/** What a stick holds, in words and as the controls are called. */

const WAYS = [
  [UP, 'up'],
  [DOWN, 'down'],
  [LEFT, 'left'],
  [RIGHT, 'right'],
] as const

const waysOf = (directions: number) => WAYS.filter(([bit]) => (directions & bit) !== 0).map(([, way]) => way)

/** "Up Right", as it is written on the map. */
export const directionLabel = (directions: number): string =>
  directionTexts[waysOf(directions).join('-') as Exclude<keyof typeof directionTexts, symbol>]

/** "Up and Right", "nothing". */
export const heldWords = (directions: number): string =>
  directions === 0 ? t.nothing : listWords(waysOf(directions).map((way) => directionTexts[way]))
