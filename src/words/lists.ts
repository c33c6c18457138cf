import { inLanguage } from './texts.ts'

/** Lists as the language joins them. The English: */

/** "Up", "Up and Down", "X, Y and Z". */
export const listWords = (words: readonly string[]): string => joined('conjunction', words)

/** "bank 1 or bank 2", "A, B or C". */
export const eitherWords = (words: readonly string[]): string => joined('disjunction', words)

/** "name, title, layout": an enumeration without a joining word. */
export const rowWords = (words: readonly string[]): string => joined('unit', words)

function joined(type: Intl.ListFormatType, words: readonly string[]): string {
  const [only = ''] = words
  // Most lists are of one word, which no language changes.
  if (words.length < 2) return only
  const make = (code: string) =>
    new Intl.ListFormat(code, { type, style: type === 'unit' ? 'short' : 'long' })
  return inLanguage(type, make).format(words)
}
