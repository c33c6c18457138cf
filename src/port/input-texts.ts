import { listWords } from '../words/lists.ts'
import { texts } from '../words/texts.ts'
import type { Cell } from './chart.ts'
import type { Input } from './pins.ts'

/** What inputs and levels are called. */
export const inputTexts = texts('inputs', {
  up: 'Up',
  down: 'Down',
  left: 'Left',
  right: 'Right',
  a: 'A',
  b: 'B',
  c: 'C',
  start: 'Start',
  x: 'X',
  y: 'Y',
  z: 'Z',
  mode: 'Mode',
  low: 'low',
  high: 'high',
})

export const inputWord = (input: Input): string => inputTexts[input]

/** An input by its name, a level in small letters. */
export const cellWord = (cell: Cell): string => inputTexts[cell]

/** "Up", "Up and Down", "X, Y and Z". */
export const inputList = (inputs: readonly Input[]): string => listWords(inputs.map(inputWord))
