import { prefixedHexWord } from '../words/hexadecimal.ts'

/**
 * What a table of numbers is made of. A room states its numbers once, in a `*.table.ts` of its own that needs no import from
 * here; `npm run tables` writes them to TypeScript, to C and into the marked tables of a Markdown file.
 *
 * A name is written in words or in camel case ("select-bank", "bankBytes"); C, and TypeScript where each number is a constant
 * of its own, have it in capitals.
 */

export interface Entry {
  readonly name: string
  readonly value: number
  /** Written in hexadecimal, with so many digits. */
  readonly hex?: number
  readonly says?: string
  /** Only in one of the two languages. */
  readonly only?: 'typescript' | 'c'
}

/** Numbers side by side. */
export interface Numbers {
  readonly kind: 'numbers'
  readonly says?: string
  /** The object that holds them in TypeScript, or each a constant of its own; absent: not in TypeScript. */
  readonly typescript?: { readonly object: string } | 'constants'
  /** What each name begins with in C; absent: not in C. A macro is unsigned, a constant of an enumeration is an int. */
  readonly c?: { readonly prefix: string; readonly as: 'macros' | 'enum' }
  readonly of: readonly Entry[]
}

/** One field of a record. Offsets follow from what stands before it. */
export interface Field {
  /** Absent where no program asks for it. */
  readonly name?: string
  /** Words where the length is not fixed. */
  readonly bytes: number | string
  /** As Markdown has it in the place of the length. */
  readonly type?: string
  /** Where it begins, where that is not a number. */
  readonly at?: string
  /** For readers of the Markdown file. */
  readonly means: string
}

/** Where the fields of a record are, in bytes from its beginning. */
export interface Layout {
  readonly kind: 'layout'
  readonly says?: string
  /** The object in TypeScript, what each name begins with in C. Absent: not in that language. */
  readonly typescript?: string
  readonly c?: string
  /** What the length of the whole record is called; only where it is fixed. */
  readonly bytes?: string
  readonly fields: readonly Field[]
}

/** Names in the order of their codes. */
export interface Names {
  readonly kind: 'names'
  readonly says?: string
  readonly typescript?: string
  /** `tag` names the enumeration. */
  readonly c?: { readonly prefix: string; readonly tag?: string }
  /** Code of the first. */
  readonly from: number
  readonly names: readonly string[]
}

/** A list for TypeScript: of numbers, or of records. */
export interface List {
  readonly kind: 'list'
  readonly says?: string
  readonly typescript: string
  /** The union of its members. */
  readonly type?: string
  readonly typeSays?: string
  readonly hex?: number
  readonly of: readonly (number | Readonly<Record<string, string | { readonly hex: string }>>)[]
}

/** ASCII that ends with a zero. */
export interface Text {
  readonly kind: 'text'
  readonly says?: string
  readonly name: string
  readonly text: string
}

export type Block = Numbers | Layout | Names | List | Text

export interface MarkdownTable {
  /** The name of the table in the marks before and behind it. */
  readonly mark: string
  readonly head: readonly string[]
  /** Rows as they are, or those of a record: offset, length, meaning. */
  readonly rows: readonly (readonly string[])[] | Layout
}

/** All paths are from the top of the repository. */
export interface Table {
  /** Where this table is. */
  readonly source: string
  readonly about: string
  readonly typescript?: string
  readonly c?: string
  readonly blocks: readonly Block[]
  readonly markdown?: { readonly path: string; readonly tables: readonly MarkdownTable[] }
}

/** "bankBytes", "select-bank" and "no such bank" as C has names. */
export const inCapitals = (name: string): string =>
  name
    .replace(/([a-z0-9])([A-Z])/g, '$1_$2')
    .replace(/[^A-Za-z0-9]+/g, '_')
    .toUpperCase()

export const numberIn = (value: number, hex?: number): string =>
  hex === undefined ? String(value) : prefixedHexWord(value, hex)

/** A field and where it begins; `null` where that is not a number. */
export interface PlacedField extends Field {
  readonly offset: number | null
}

/** @throws RangeError where a program would have to know an offset, or a length, that is not fixed */
export function placed({ fields, bytes }: Layout): readonly PlacedField[] {
  let at: number | null = 0
  const all = fields.map((field): PlacedField => {
    const offset = field.at === undefined ? at : null
    if (offset === null && (field.at === undefined || field.name !== undefined))
      throw new RangeError(`"${field.means}" has no fixed offset`)
    at = offset === null || typeof field.bytes === 'string' ? null : offset + field.bytes
    return { ...field, offset }
  })
  if (bytes !== undefined && at === null) throw new RangeError(`${bytes} is not fixed`)
  return all
}

/** Length of a record that is fixed. */
export const bytesOf = (layout: Layout): number =>
  layout.fields.reduce((sum, { bytes }) => sum + (bytes as number), 0)
