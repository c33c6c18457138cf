import { jsonTexts } from './document-texts.ts'

/** Where a text stops being JSON, and what would have to stand there. */
export interface JsonFault {
  /** Offset in UTF-16 units. */
  readonly offset: number
  /** The text ends too soon: some continuation would make it JSON. */
  readonly cut: boolean
  /** What is needed at the offset, as words for a sentence. */
  readonly wanted: string
}

/** What may stand next. */
type Want = 'value' | 'value|]' | 'key' | 'key|}' | ':' | ',|]' | ',|}' | 'end'

const wordsFor = (want: Want): string =>
  want === 'key|}' || want === ',|}' ? jsonTexts[want]({ brace: '}' }) : jsonTexts[want]

const LITERALS = ['true', 'false', 'null']
const NUMBER = /^-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?$/
// eslint-disable-next-line no-control-regex -- JSON forbids them in a string
const STRING = /"[^"\\\u0000-\u001f]*(?:\\(?:["\\/bfnrt]|u[\da-fA-F]{4})[^"\\\u0000-\u001f]*)*/y
const CUT_ESCAPE = /^\\(?:u[\da-fA-F]{0,3})?$/

/**
 * Finds where a text stops being JSON (RFC 8259); `null` if it is JSON. The messages of `JSON.parse` differ from engine to
 * engine and often lack the place. Nesting costs no call stack.
 */
export function jsonFault(text: string): JsonFault | null {
  const open: ('{' | '[')[] = []
  let want: Want = 'value'
  let at = 0
  const run = (pattern: RegExp): string => {
    pattern.lastIndex = at
    return pattern.exec(text)?.[0] ?? ''
  }
  const afterValue = (): Want => {
    const inside = open[open.length - 1]
    return inside === '{' ? ',|}' : inside === '[' ? ',|]' : 'end'
  }
  const fault = (offset: number, cut: boolean, wanted = wordsFor(want)): JsonFault => ({
    offset,
    cut,
    wanted,
  })

  for (;;) {
    at += run(/[ \t\n\r]*/y).length
    const char = text[at]
    if (char === undefined) return want === 'end' ? null : fault(at, true)

    if (char === '"' && (want.startsWith('value') || want.startsWith('key'))) {
      const end = at + run(STRING).length
      if (text[end] !== '"') {
        const cut = end === text.length || CUT_ESCAPE.test(text.slice(end, end + 6))
        return fault(cut ? text.length : end, cut, jsonTexts.quote)
      }
      at = end + 1
      want = want.startsWith('key') ? ':' : afterValue()
    } else if ((char === '{' || char === '[') && want.startsWith('value')) {
      open.push(char)
      at += 1
      want = char === '{' ? 'key|}' : 'value|]'
    } else if ((char === '}' || char === ']') && want.endsWith(`|${char}`)) {
      open.pop()
      at += 1
      want = afterValue()
    } else if (char === ',' && want.startsWith(',')) {
      at += 1
      want = want === ',|}' ? 'key' : 'value'
    } else if (char === ':' && want === ':') {
      at += 1
      want = 'value'
    } else {
      const word = want.startsWith('value') ? run(/[-+.\w]*/y) : ''
      const ends = at + word.length === text.length
      if (!LITERALS.includes(word) && !NUMBER.test(word)) {
        const begun =
          word !== '' && (LITERALS.some((literal) => literal.startsWith(word)) || NUMBER.test(`${word}0`))
        return fault(ends && begun ? text.length : at, ends && begun)
      }
      at += word.length
      want = afterValue()
    }
  }
}
