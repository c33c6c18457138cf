import type { Cell } from '../port/chart.ts'
import type { Input } from '../port/pins.ts'

/** How inputs and times are said in sentences. */

export const inputWord = (input: Input): string =>
  input.length === 1 ? input.toUpperCase() : `${input.charAt(0).toUpperCase()}${input.slice(1)}`

export const cellWord = (cell: Cell): string => (cell === 'low' || cell === 'high' ? cell : inputWord(cell))

/** "Up", "Up and Down", "X, Y and Z". */
export function listWords(words: readonly string[]): string {
  const last = words[words.length - 1] ?? ''
  return words.length < 2 ? last : `${words.slice(0, -1).join(', ')} and ${last}`
}

export const inputList = (inputs: readonly Input[]): string => listWords(inputs.map(inputWord))

/** A time as a technician reads it. Cut off, never rounded up, so that nothing looks better than it is. */
export function timeWord(ns: number): string {
  const size = Math.abs(ns)
  const sign = ns < 0 ? '−' : ''
  if (size < 1_000) return `${sign}${size} ns`
  const [unit, perUnit] = size < 1_000_000 ? ['µs', 1_000] : ['ms', 1_000_000]
  const hundredths = Math.floor(size / (perUnit / 100))
  return `${sign}${(hundredths / 100).toFixed(2)} ${unit}`
}

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]
export const numberWord = (n: number): string => NUMBERS[n] ?? String(n)

const ORDINALS = [
  'zeroth',
  'first',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'eighth',
  'ninth',
  'tenth',
]
export function ordinalWord(n: number): string {
  const word = ORDINALS[n]
  if (word !== undefined) return word
  const teen = Math.floor(n / 10) % 10 === 1
  return `${n}${(teen ? undefined : { 1: 'st', 2: 'nd', 3: 'rd' }[n % 10]) ?? 'th'}`
}
