import { ENGLISH } from './message-types.ts'
import type { English, Message, Messages, Texts, Translation, Value } from './message-types.ts'

/** A language is data: it can be sent to a worker as it is. */
export interface Language {
  /** BCP 47, for plurals, lists and figures. */
  readonly code: string
  /** Messages by the id of their texts; what is missing is said in English. */
  readonly catalogues: { readonly [id: string]: Messages }
}

declare global {
  /** A language that was laid out before Ninepin began, as the tests do; English where there is none. */
  var ninepinLanguage: Language | undefined
}

const BRITISH: Language = { code: 'en-GB', catalogues: {} }

let spoken = BRITISH
let made = new Map<string, unknown>()

/** What is spoken from here on. Set it before anything is drawn or said; `null` is English. */
export function setLanguage(language: Language | null): void {
  spoken = language ?? BRITISH
  made = new Map()
}

/** What was set, for the workers; `null` while English is spoken. */
export const language = (): Language | null => (spoken === BRITISH ? null : spoken)

/** A formatter of the language, made once: making one takes longer than a hundred uses. */
export function inLanguage<T>(kind: string, make: (code: string) => T): T {
  const known = made.get(kind) as T | undefined
  if (known !== undefined) return known
  const one = make(spoken.code)
  made.set(kind, one)
  return one
}

/**
 * The texts of a part of Ninepin. Each is looked up when it is used, so that it does not matter when this module is loaded.
 *
 * @param id unique; what another language calls these texts by
 */
/* @__NO_SIDE_EFFECTS__ */
export function texts<const M extends Messages>(id: string, messages: M): Texts<M> {
  const all: object = { [ENGLISH]: { id, messages } }
  for (const [key, english] of Object.entries(messages)) {
    const said = (values: Values = {}) => fill(spoken.catalogues[id]?.[key] ?? english, values)
    const isPlain = typeof english === 'string' && !english.includes('{')
    Object.defineProperty(all, key, { enumerable: true, ...(isPlain ? { get: said } : { value: said }) })
  }
  return all as Texts<M>
}

/**
 * Types only: refuses a translation that lacks a key, has one too many, or takes other values than the English.
 *
 * @public for the files of translations
 */
export const translationOf =
  <T extends English>() =>
  <const Given extends Messages>(messages: Given & Translation<T, Given>): Messages =>
    messages

interface Values {
  readonly [name: string]: Value | boolean
}

function fill(message: Message, values: Values): string {
  let chosen = message
  while (typeof chosen !== 'string') {
    const [selector, cases] = Object.entries(chosen)[0] as [string, Messages]
    const [name, kind] = selector.split(':') as [string, Intl.PluralRuleType?]
    const value = values[name]
    chosen =
      cases[String(value)] ??
      cases[
        inLanguage(selector, (code) => new Intl.PluralRules(code, { type: kind ?? 'cardinal' })).select(
          Number(value),
        )
      ] ??
      (cases['other'] as Message)
  }
  let text = ''
  piecesOf(chosen).forEach((piece, k) => (text += k % 2 === 0 ? piece : written(values[piece] as Value)))
  return text
}

/** Taken apart once: a judgement says a dozen messages, and looking for braces in each took a tenth of its time. */
const PIECES = new Map<string, readonly string[]>()

/** What a message says, and between that the names of the values that stand there. */
function piecesOf(message: string): readonly string[] {
  const known = PIECES.get(message)
  if (known) return known
  const pieces = message.replace(/<(\/?\w+)>/g, TAG + '$1' + TAG).split(/\{(\w+)\}/)
  PIECES.set(message, pieces)
  return pieces
}

/** Stands around the tags of a text, where `<` of a user's own words cannot be taken for one. */
export const TAG = '\uE000'

const written = (value: Value): string => (typeof value === 'number' ? figure(value) : value)

/** A figure with as many decimals as it has, or rounded to so many as `toFixed` does; no thousands are set apart. */
export const figure = (value: number, decimals?: number): string =>
  inLanguage(
    `figure ${decimals}`,
    (code) =>
      new Intl.NumberFormat(code, {
        useGrouping: false,
        minimumFractionDigits: decimals ?? 0,
        maximumFractionDigits: decimals ?? 20,
        signDisplay: 'negative',
      }),
  ).format(decimals === undefined ? value : Number(value.toFixed(decimals)))
