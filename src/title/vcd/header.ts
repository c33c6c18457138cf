import { foreign } from '../../words/foreign.ts'
import type { Complaint } from './capture.ts'
import type { CodeKey } from './code.ts'
import { codeKey } from './code.ts'
import { isEnd, quote, textOf } from './text.ts'
import type { Timescale } from './timescale.ts'
import { parseTimescale } from './timescale.ts'
import { t } from './vcd-texts.ts'
import type { Wire } from './wires.ts'

/** What the value changes need to know. */
export interface Header {
  readonly timescale: Timescale
  readonly codes: ReadonlySet<CodeKey>
}

/** Sections that are taken apart word by word; all others are passed over. */
const READ = new Set(['$timescale', '$scope', '$upscope', '$var', '$enddefinitions'])

/** Sections that only come after the header. `$dumpports…` are those of the extended format. */
export const isDump = (keyword: string): boolean => keyword.startsWith('$dump')

/** What a header may declare: no real one is so large, and the memory has to end somewhere. */
const MAX_WIRES = 2 ** 18
const MAX_SCOPE_DEPTH = 1000

/** `$var wire 1 ! name [ 7 : 0 ] $end` has nine words; more say that an `$end` is missing. */
const MAX_WORDS = 16

const encoder = new TextEncoder()

/** Reads the declarations of a dump. */
export class HeaderReader {
  readonly #onWire: (wire: Wire) => void
  readonly #codes = new Set<CodeKey>()
  /** Each with the dot that follows it: `['top.', 'top.port.']`. */
  readonly #scopes: string[] = []
  #timescale: Timescale | undefined
  #keyword: string | undefined
  #line = 0
  #words: string[] = []
  #header: Header | undefined
  #empty = true

  constructor(onWire: (wire: Wire) => void) {
    this.#onWire = onWire
  }

  /** What was declared, once `$enddefinitions $end` has come. */
  get header(): Header | undefined {
    return this.#header
  }

  word(bytes: Uint8Array, from: number, to: number, line: number): Complaint {
    this.#empty = false
    if (this.#keyword === undefined) return this.#open(textOf(bytes, from, to), line)
    if (isEnd(bytes, from, to)) return this.#close(this.#keyword)
    if (!READ.has(this.#keyword)) return undefined
    if (this.#words.push(textOf(bytes, from, to)) > MAX_WORDS)
      return t.noEnd({ section: this.#keyword, line: this.#line })
    return undefined
  }

  /** What is wrong with a file that ends before its header does. */
  finish(): string {
    if (this.#empty) return t.empty
    return this.#keyword === undefined
      ? t.headerCutOff
      : t.headerCutOffInside({ section: quote(this.#keyword) })
  }

  #open(word: string, line: number): Complaint {
    if (word === '$end') return t.endClosesNothing
    if (isDump(word)) return t.beforeDefinitionsEnd({ section: quote(word) })
    if (!word.startsWith('$')) {
      return t.noSection({ word: quote(word) })
    }
    this.#keyword = word
    this.#line = line
    return undefined
  }

  #close(keyword: string): Complaint {
    const words = this.#words
    this.#words = []
    this.#keyword = undefined
    switch (keyword) {
      case '$timescale':
        return this.#setTimescale(words.join(' '))
      case '$scope':
        return this.#enter(words)
      case '$upscope':
        return this.#leave(words)
      case '$var':
        return this.#declare(words)
      case '$enddefinitions':
        return this.#end(words)
      default:
        return undefined
    }
  }

  #setTimescale(text: string): Complaint {
    const timescale = parseTimescale(text)
    if (!timescale) return t.timescale({ found: quote(text) })
    const first = this.#timescale
    if (first && (first.nsPerTick !== timescale.nsPerTick || first.ticksPerNs !== timescale.ticksPerNs)) {
      return t.otherTimescale({ found: quote(text) })
    }
    this.#timescale = timescale
    return undefined
  }

  #enter([kind, name, ...rest]: string[]): Complaint {
    if (kind === undefined || name === undefined || rest.length > 0) return t.scope
    if (this.#scopes.length === MAX_SCOPE_DEPTH) return t.scopesTooDeep({ most: MAX_SCOPE_DEPTH })
    this.#scopes.push(`${this.#scopes.at(-1) ?? ''}${foreign(name)}.`)
    return undefined
  }

  #leave(words: string[]): Complaint {
    if (words.length > 0) return t.upscope
    return this.#scopes.pop() === undefined ? t.upscopeLeavesNone : undefined
  }

  #declare([kind, size, code, reference, ...rest]: string[]): Complaint {
    if (kind === undefined || size === undefined || code === undefined || reference === undefined) {
      return t.variable
    }
    if (!/^\d{1,9}$/.test(size)) return t.variableSize({ found: quote(size) })
    const named = nameAndRange(foreign(reference), foreign(rest.join('')))
    if (!named) return t.variableName({ found: quote(rest.join(' ')) })
    const codeBytes = encoder.encode(code)
    const key = codeKey(codeBytes, 0, codeBytes.length)
    if (this.#codes.add(key).size > MAX_WIRES) return t.tooManyWires({ most: MAX_WIRES })
    const path = `${this.#scopes.at(-1) ?? ''}${named.name}`
    this.#onWire({ kind, bits: Number(size), code: key, ...named, path, line: this.#line })
    return undefined
  }

  #end(words: string[]): Complaint {
    if (words.length > 0) return t.definitionsEnd({ found: quote(words.join(' ')) })
    if (!this.#timescale) return t.noTimescale
    this.#header = { timescale: this.#timescale, codes: this.#codes }
    return undefined
  }
}

/**
 * Splits `select[0]` and takes `select` `[0]`. An escaped name (from a backslash to the next blank) may have brackets
 * of its own.
 */
function nameAndRange(reference: string, range: string): { name: string; range: string } | undefined {
  if (range !== '') return /^\[.*\]$/.test(range) ? { name: reference, range } : undefined
  const bracket = reference.lastIndexOf('[')
  if (reference.startsWith('\\') || !reference.endsWith(']') || bracket < 1)
    return { name: reference, range: '' }
  return { name: reference.slice(0, bracket), range: reference.slice(bracket) }
}
