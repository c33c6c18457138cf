import { ENGLISH } from '../../src/words/message-types.ts'
import type { English, Message, Messages } from '../../src/words/message-types.ts'
import type { Language } from '../../src/words/texts.ts'

/**
 * A made-up language for tests: every message stands in brackets, its letters have accents, and it is a third longer. What
 * people see without brackets is no message. Its plurals, lists and figures are those of a language that has one plural form and
 * joins lists by no word, so that a plural or a list made by hand shows.
 */

/** All texts of Ninepin by their ids. */
export const catalogues = (): ReadonlyMap<string, Messages> => {
  const modules = import.meta.glob<Record<string, unknown>>('../../src/**/*-texts.ts', { eager: true })
  const found = Object.values(modules).flatMap((module) => Object.values(module).filter(isEnglish))
  const all = new Map<string, Messages>()
  for (const { [ENGLISH]: english } of found) {
    const { id, messages } = english
    if (all.has(id) && all.get(id) !== messages) throw new Error(`two sets of texts are called ${id}`)
    all.set(id, messages)
  }
  return all
}

const isEnglish = (value: unknown): value is English =>
  typeof value === 'object' && value !== null && ENGLISH in value

export const pseudoLanguage = (): Language => ({
  code: 'ja-x-pseudo',
  catalogues: Object.fromEntries([...catalogues()].map(([id, messages]) => [id, pseudoMessages(messages)])),
})

const pseudoMessages = (messages: Messages): Messages =>
  Object.fromEntries(Object.entries(messages).map(([key, message]) => [key, pseudo(message)]))

export function pseudo(message: Message): Message {
  if (typeof message === 'string') return pseudoText(message)
  return Object.fromEntries(
    Object.entries(message).map(([selector, cases]) => [
      selector,
      pseudoMessages(cases) as { [when: string]: Message },
    ]),
  )
}

/** Words within tags and around them are drawn apart, so each piece has brackets of its own. */
const pseudoText = (text: string): string =>
  text
    .split(/(<\/?\w+>)/)
    .map((piece, k) => (k % 2 === 1 || !/[\p{L}{]/u.test(piece) ? piece : bracketed(piece)))
    .join('')

function bracketed(piece: string): string {
  const letters = piece
    .split(/(\{\w+\})/)
    .map((part, k) => (k % 2 === 1 ? part : part.replace(/[a-z]/gi, accented)))
  const [, before, words, after] = /^(\s*)(.*?)(\s*)$/su.exec(letters.join('')) as unknown as [
    string,
    string,
    string,
    string,
  ]
  return `${before}⟦${words}${'~'.repeat(Math.ceil(piece.length * 0.3))}⟧${after}`
}

const ACCENTS: Readonly<Record<string, string>> = Object.fromEntries(
  [...'aàeéiîoøuûcçnñsšyýzžAÀEÉIÎOØUÛCÇNÑSŠYÝZŽ'].reduce<[string, string][]>((pairs, letter, k, all) => {
    if (k % 2 === 0) pairs.push([letter, all[k + 1] as string])
    return pairs
  }, []),
)
const accented = (letter: string): string => ACCENTS[letter] ?? letter

/** What is left of a text when all that stands in brackets is taken out, from the inside to the outside. */
export function outsideBrackets(text: string): string {
  const inner = text.replace(/⟦[^⟦⟧]*⟧/gu, '')
  return inner === text ? text : outsideBrackets(inner)
}
