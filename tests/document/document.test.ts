import * as v from 'valibot'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DocumentRefusal, documentSentence, readJson } from '../../src/document/document.ts'
import { readDocument } from '../../src/document/read-document.ts'
import type { DocumentKind, Migration } from '../../src/document/document.ts'
import { draws } from '../draws.ts'

/** A made-up kind of document at its third version. */
const schema = v.strictObject({
  format: v.literal('made-up'),
  version: v.literal(3),
  steps: v.array(v.string()),
  size: v.exactOptional(v.number()),
  drawn: v.exactOptional(v.boolean()),
})

/** Notes from which version it was told to lift, and to which. */
const liftTo =
  (version: number): Migration =>
  (document) => ({
    ...document,
    steps: [...(document['steps'] as string[]), `${String(document['version'])} to ${version}`],
  })

const kind = (migrations: Record<number, Migration>): DocumentKind<typeof schema> => ({
  format: 'made-up',
  noun: () => 'sketch',
  version: 3,
  migrations,
  maxBytes: 1_000,
  schema,
})
const KIND = kind({ 1: liftTo(2), 2: liftTo(3) })

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text)

const sentence = (json: unknown, of = KIND): string => {
  const result = readJson(of, json)
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}
const fileSentence = (bytes: Uint8Array): string => {
  const result = readDocument(KIND, bytes)
  if (result.ok) throw new Error('this was to be refused')
  return documentSentence(result.error)
}

describe('older versions', () => {
  it('are lifted one version after the other', () => {
    for (const [version, steps] of [
      [1, ['1 to 2', '2 to 3']],
      [2, ['2 to 3']],
      [3, []],
    ] as const) {
      const result = readJson(KIND, { format: 'made-up', version, steps: [] })
      expect(result).toEqual({ ok: true, value: { format: 'made-up', version: 3, steps } })
    }
  })

  it('leave what was read as it was', () => {
    const old = { format: 'made-up', version: 1, steps: [] }
    readJson(KIND, old)
    expect(old).toEqual({ format: 'made-up', version: 1, steps: [] })
  })

  it('without a way up are refused', () => {
    expect(sentence({ format: 'made-up', version: 1, steps: [] }, kind({ 2: liftTo(3) }))).toBe(
      'version: version 1 can no longer be read',
    )
  })

  it('that a migration chokes on are refused, not thrown', () => {
    expect(sentence({ format: 'made-up', version: 2, steps: null })).toBe(
      'this is not a valid version 2 sketch, so it cannot be migrated',
    )
  })

  it('that are wrong after the lift are refused at their place', () => {
    expect(sentence({ format: 'made-up', version: 2, steps: [7] })).toBe('steps[0]: expected a text, found 7')
  })

  it('of the future are refused', () => {
    expect(sentence({ format: 'made-up', version: 4, steps: [] })).toBe(
      'version: this sketch was written by a newer Ninepin (version 4); this one reads up to version 3',
    )
  })
})

describe('JSON of another shape', () => {
  it.each([
    [null, 'a sketch is a JSON object; this is null'],
    [[], 'a sketch is a JSON object; this is a list'],
    ['made-up', 'a sketch is a JSON object; this is "made-up"'],
    [12, 'a sketch is a JSON object; this is 12'],
    [{}, 'format: a sketch says "made-up" here; this is missing'],
    [{ format: 'song' }, 'format: a sketch says "made-up" here; this is "song"'],
    [{ format: ['made-up'] }, 'format: a sketch says "made-up" here; this is a list'],
    [{ format: 'made-up' }, 'version: expected a whole number from 1 on, found nothing'],
    [{ format: 'made-up', version: 0 }, 'version: expected a whole number from 1 on, found 0'],
    [{ format: 'made-up', version: 2.5 }, 'version: expected a whole number from 1 on, found 2.5'],
    [{ format: 'made-up', version: '3' }, 'version: expected a whole number from 1 on, found "3"'],
    [{ format: 'made-up', version: Infinity }, 'version: expected a whole number from 1 on, found Infinity'],
    [{ format: 'made-up', version: 3 }, 'steps: this is missing'],
    [{ format: 'made-up', version: 3, steps: 'x' }, 'steps: expected a list, found "x"'],
    [{ format: 'made-up', version: 3, steps: ['x', {}] }, 'steps[1]: expected a text, found an object'],
    [{ format: 'made-up', version: 3, steps: [], size: 'x' }, 'size: expected a number, found "x"'],
    [{ format: 'made-up', version: 3, steps: [], drawn: 1 }, 'drawn: expected true or false, found 1'],
    [{ format: 'made-up', version: 3, steps: [], sise: 1 }, 'sise: unknown key'],
    [{ format: 'made-up', version: 3, steps: [], constructor: 1 }, 'constructor: unknown key'],
    [{ format: 'made-up', version: 3, steps: [], 'a b': 1 }, '"a b": unknown key'],
    [{ format: 'made-up', version: 3, steps: [], '': 1 }, '"": unknown key'],
  ])('%j', (json, said) => {
    expect(sentence(json)).toBe(said)
  })

  it('quotes a long text by its beginning', () => {
    expect(sentence('🪔'.repeat(500))).toBe(`a sketch is a JSON object; this is "${'🪔'.repeat(35)}…"`)
    expect(sentence({ format: 'made-up', version: 3, steps: [], ['k'.repeat(500)]: 1 })).toBe(
      `"${'k'.repeat(35)}…": unknown key`,
    )
  })

  it('that no file can hold is refused as well', () => {
    for (const value of [undefined, 7n, () => 1, Symbol('x'), Number.NaN]) {
      expect(sentence(value)).toContain('a sketch is a JSON object')
      expect(sentence({ format: 'made-up', version: 3, steps: [value] })).toContain('steps[0]')
    }
  })

  it('whatever it is, the answer is one sentence', () => {
    fc.assert(
      fc.property(fc.anything({ withBigInt: true, withNullPrototype: true }), (json) => {
        for (const value of [json, { format: 'made-up', version: 3, steps: json }]) {
          const result = readJson(KIND, value)
          if (!result.ok) expect(documentSentence(result.error).length).toBeLessThan(200)
        }
      }),
      { numRuns: draws(2_000) },
    )
  })
})

describe('files', () => {
  const GOOD = '{\n  "format": "made-up",\n  "version": 3,\n  "steps": []\n}\n'

  it('of UTF-8 JSON are read, with or without a byte order mark', () => {
    for (const text of [GOOD, `\ufeff${GOOD}`]) expect(readDocument(KIND, bytesOf(text)).ok).toBe(true)
  })

  it('may have as many bytes as the kind allows, and not one more', () => {
    expect(readDocument(KIND, bytesOf(GOOD.padEnd(1_000))).ok).toBe(true)
    expect(fileSentence(bytesOf(GOOD.padEnd(1_001)))).toBe(
      'the file has 1001 bytes; a sketch has 1000 at most',
    )
  })

  it.each([
    ['', 'the file is empty'],
    [' \n\t\n', 'the file is empty'],
    [GOOD.slice(0, 30), 'line 3: the file is cut off: the JSON does not end'],
    [GOOD.slice(0, -2), 'line 5: the file is cut off: the JSON does not end'],
    ['{\n  "steps": oops\n}', 'line 2, column 12: this is not JSON: a value is needed here'],
    ['{\n  "steps": []\n  "size": 1\n}', 'line 3, column 3: this is not JSON: a comma or } is needed here'],
    ['hello', 'line 1, column 1: this is not JSON: a value is needed here'],
    [`${GOOD}x`, 'line 6, column 1: this is not JSON: the end of the file is needed here'],
  ])('%j', (text, said) => {
    expect(fileSentence(bytesOf(text))).toBe(said)
  })

  it.each([
    ['a byte that never occurs', [0x7b, 0xff, 0x7d], 1],
    ['a lone continuation', [0x80], 0],
    ['a sequence broken off by another character', [0x22, 0xe2, 0x82, 0x22], 1],
    ['a sequence that the file ends within', [0x22, 0x41, 0xf0, 0x9f, 0xaa], 2],
    ['an overlong form', [0x41, 0xc0, 0xaf], 1],
    ['a surrogate in three bytes', [0x41, 0x42, 0xed, 0xa0, 0x80], 2],
    ['behind a byte order mark', [0xef, 0xbb, 0xbf, 0x41, 0xff], 4],
    ['behind longer characters', [0xc3, 0xa9, 0xf0, 0x9f, 0xaa, 0x94, 0xfe, 0x41], 6],
  ])('that are not UTF-8 name the byte: %s', (_, bytes, at) => {
    expect(fileSentence(Uint8Array.from(bytes))).toBe(`byte ${at}: the file is not UTF-8 text`)
  })

  it('name the first wrong byte wherever it stands', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 80 }),
        fc.constantFrom(0xff, 0xc0, 0xf5),
        (text, wrong) => {
          const good = bytesOf(text)
          expect(fileSentence(Uint8Array.from([...good, wrong, 0x20]))).toContain(`byte ${good.length}:`)
        },
      ),
    )
  })
})

describe('shapes within shapes', () => {
  const names = (count: number) => Array.from({ length: count }, (_, k) => `n${k}`)
  const size = v.strictObject({ x: v.exactOptional(v.number()) })
  const shapes = v.strictObject({
    format: v.literal('made-up'),
    version: v.literal(2),
    side: v.exactOptional(v.picklist(['in', 'out'])),
    few: v.exactOptional(v.picklist(names(14))),
    many: v.exactOptional(v.picklist(names(15))),
    even: v.exactOptional(
      v.pipe(
        v.number(),
        v.check((n) => n % 2 === 0, 'this is odd'),
      ),
    ),
    size: v.exactOptional(size),
    sheet: v.exactOptional(
      v.strictObject({ size: v.exactOptional(size), sizes: v.exactOptional(v.array(size)) }),
    ),
    way: v.exactOptional(
      v.union(
        [v.strictObject({ bank: v.number() }), v.strictObject({ after: size })],
        () => 'this is no way on',
      ),
    ),
    step: v.exactOptional(
      v.variant('kind', [
        v.strictObject({ kind: v.literal('wait') }),
        v.strictObject({ kind: v.literal('write'), text: v.string() }),
      ]),
    ),
  })
  const SHAPES: DocumentKind<typeof shapes> = {
    format: 'made-up',
    noun: () => 'sketch',
    version: 2,
    migrations: {
      1: () => {
        throw new DocumentRefusal({ place: 'size', message: 'no size was kept then' })
      },
    },
    maxBytes: 1_000,
    schema: shapes,
  }
  const told = (fields: object) => {
    const result = readJson(SHAPES, { format: 'made-up', version: 2, ...fields })
    return result.ok ? null : documentSentence(result.error)
  }
  const quoted = (count: number) =>
    names(count)
      .map((name) => `"${name}"`)
      .join(', ')

  it.each([
    [{ side: 'up' }, 'side: expected "in" or "out", found "up"'],
    [{ few: 'n14' }, `few: expected one of ${quoted(14)}, found "n14"`],
    [{ many: 'n15' }, `many: expected a known name (${quoted(6)}, …), found "n15"`],
    [{ even: 3 }, 'even: this is odd'],
    [{ size: 7 }, 'size: expected an object, found 7'],
    [{ sheet: { size: { x: 'wide' } } }, 'sheet.size.x: expected a number, found "wide"'],
    [{ sheet: { sizes: [{}, { x: null }] } }, 'sheet.sizes[1].x: expected a number, found null'],
    [{ step: { kind: 'jump' } }, 'step.kind: expected "wait" or "write", found "jump"'],
    [{ step: { kind: 'write' } }, 'step.text: this is missing'],
    [{ way: { bank: 'two' } }, 'way.bank: expected a number, found "two"'],
    [{ way: { after: { x: 'long' } } }, 'way.after.x: expected a number, found "long"'],
    [{ way: 7 }, 'way: this is no way on'],
  ])('%j', (fields, said) => {
    expect(told(fields)).toBe(said)
  })

  it.each([
    [{ size: [] }, 'size'],
    [{ sheet: [] }, 'sheet'],
    [{ sheet: { size: [] } }, 'sheet.size'],
    [{ sheet: { sizes: [{}, []] } }, 'sheet.sizes[1]'],
    [{ way: { after: [] } }, 'way.after'],
  ])('a list is no object, not even an empty one: %j', (fields, place) => {
    expect(told(fields)).toBe(`${place}: expected an object, found a list`)
    expect(told(JSON.parse(JSON.stringify(fields).replace('[]', '{}')) as object)).toBeNull()
  })

  it('a migration says itself what it cannot lift, where it can', () => {
    expect(told({ version: 1 })).toBe('size: no size was kept then')
  })

  it('a text of 36 characters is quoted whole, one of 37 is not', () => {
    expect(told({ size: 'k'.repeat(36) })).toBe(`size: expected an object, found "${'k'.repeat(36)}"`)
    expect(told({ size: 'k'.repeat(37) })).toBe(`size: expected an object, found "${'k'.repeat(35)}…"`)
  })
})
