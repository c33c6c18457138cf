import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { jsonFault } from '../../src/document/json-fault.ts'
import { draws } from '../draws.ts'

const isJson = (text: string): boolean => {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

describe('where a text stops being JSON', () => {
  it.each([
    ['', 0, true, 'a value'],
    ['{', 1, true, 'a key in quotes or }'],
    ['{"a"', 4, true, 'a colon'],
    ['{"a":', 5, true, 'a value'],
    ['{"a":1', 6, true, 'a comma or }'],
    ['{"a":1,', 7, true, 'a key in quotes'],
    ['["x', 3, true, 'the closing quote of a text'],
    ['["x\\', 4, true, 'the closing quote of a text'],
    ['["x\\u00', 7, true, 'the closing quote of a text'],
    ['[tru', 4, true, 'a value or ]'],
    ['[1, -', 5, true, 'a value'],
    ['[1.', 3, true, 'a value or ]'],
    ['[1e+', 4, true, 'a value or ]'],
    ['hello', 0, false, 'a value'],
    ['{"a": oops}', 6, false, 'a value'],
    ['{a: 1}', 1, false, 'a key in quotes or }'],
    ["{'a': 1}", 1, false, 'a key in quotes or }'],
    ['{"a": 1,}', 8, false, 'a key in quotes'],
    ['{"a" 1}', 5, false, 'a colon'],
    ['{"a": 1 "b": 2}', 8, false, 'a comma or }'],
    ['{"a": 1]', 7, false, 'a comma or }'],
    ['[1 2]', 3, false, 'a comma or ]'],
    ['[01]', 1, false, 'a value or ]'],
    ['[NaN]', 1, false, 'a value or ]'],
    ['{"a": "b\n"}', 8, false, 'the closing quote of a text'],
    ['["\\x"]', 2, false, 'the closing quote of a text'],
    ['{} {}', 3, false, 'the end of the file'],
    ['{} // note', 3, false, 'the end of the file'],
  ])('%j', (text, offset, cut, wanted) => {
    expect(jsonFault(text)).toEqual({ offset, cut, wanted })
    expect(isJson(text)).toBe(false)
  })

  it('agrees with JSON.parse on what is JSON', () => {
    const scrap = fc.constantFrom(
      ...'{}[],:"\\ \n\t\u0001-+.eE019aftrunls',
      '\u00a0',
      '\u2028',
      'true',
      'null',
      '1.5',
    )
    const text = fc.oneof(
      fc.json(),
      fc.array(scrap, { maxLength: 12 }).map((parts) => parts.join('')),
      fc
        .record({ json: fc.json(), at: fc.nat(), scrap, drop: fc.nat(2) })
        .map(({ json, at, scrap, drop }) => {
          const place = at % (json.length + 1)
          return json.slice(0, place) + scrap + json.slice(place + drop)
        }),
    )
    fc.assert(
      fc.property(text, (text) => {
        expect(jsonFault(text) === null).toBe(isJson(text))
      }),
      { numRuns: draws(10_000) },
    )
  })

  it('every proper beginning of an object is cut off, and nothing else is wrong with it', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue()), fc.nat(), (value, at) => {
        const text = JSON.stringify(value, null, 1)
        const beginning = text.slice(0, at % text.length)
        expect(jsonFault(beginning)).toMatchObject({ offset: beginning.length, cut: true })
      }),
      { numRuns: draws(2_000) },
    )
  })

  it('takes nesting as deep as a file allows', () => {
    const deep = '['.repeat(500_000)
    expect(jsonFault(deep)).toMatchObject({ offset: deep.length, cut: true })
    expect(jsonFault(deep + ']'.repeat(500_000))).toBeNull()
  })
})
