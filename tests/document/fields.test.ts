import * as v from 'valibot'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nameUpTo, nameUpToBytes, notesUpTo, notesUpToBytes, whole } from '../../src/document/fields.ts'
import { foreign } from '../../src/words/foreign.ts'
import { draws } from '../draws.ts'

/** What a field makes of a value: what it keeps, or what it says is wrong. */
const read = (field: v.GenericSchema, given: unknown) => {
  const { success, output, issues } = v.safeParse(field, given)
  return success ? { kept: output } : { said: issues[0].message }
}

const bytesOf = (text: string) => new TextEncoder().encode(text)
/** Half a character does not come back from UTF-8 (the Encoding Standard puts U+FFFD in its place). */
const comesBack = (text: string) =>
  new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytesOf(text)) === text

/** Texts of all sorts, with blanks, control characters (Unicode: category Cc) and halves of characters strewn in. */
const arbText = fc
  .array(
    fc.oneof(
      { weight: 4, arbitrary: fc.constantFrom('a', 'é', '名', '🪔', 'b c') },
      { weight: 1, arbitrary: fc.string({ unit: 'binary', maxLength: 2 }) },
      {
        weight: 1,
        arbitrary: fc.constantFrom(
          ' ',
          '\u3000',
          '\ufeff',
          '\n',
          '\0',
          '\x1f',
          '\x7f',
          '\x9f',
          '\xa0',
          '\ud83e',
          '\ude94',
        ),
      },
    ),
    { maxLength: 6 },
  )
  .map((pieces) => pieces.join(''))

const LIMITS = [
  ['UTF-16 units', nameUpTo, notesUpTo, (text: string) => text.length],
  ['bytes', nameUpToBytes, notesUpToBytes, (text: string) => bytesOf(text).length],
] as const

describe.each(LIMITS)('a text of so many %s', (_, nameWithin, notesWithin, length) => {
  it('is a name if it is one line with something on it, no blanks around it, and not too long', () => {
    fc.assert(
      fc.property(arbText, fc.integer({ min: 1, max: 12 }), (text, most) => {
        const isName =
          text.trim() !== '' &&
          text.trim() === text &&
          comesBack(text) &&
          !/\p{Cc}/u.test(text) &&
          length(text) <= most
        const { kept } = read(nameWithin(most), text)
        expect(kept).toBe(isName ? foreign(text) : undefined)
      }),
      { numRuns: draws(1_000) },
    )
  })

  it('may stand in notes if it is not too long, whatever lines and blanks it has', () => {
    fc.assert(
      fc.property(arbText, fc.integer({ min: 0, max: 12 }), (text, most) => {
        const { kept } = read(notesWithin(most), text)
        expect(kept).toBe(comesBack(text) && length(text) <= most ? text : undefined)
      }),
      { numRuns: draws(1_000) },
    )
  })
})

describe('what is wrong with a text is said', () => {
  it.each([
    ['', 'a name is needed'],
    [' \t', 'a name is needed'],
    [' Gull', 'a name cannot start or end with a space'],
    ['Gull \ud83e', 'the name holds half a character; type it again'],
    ['Gu\nll', 'a name stands on one line, without control characters'],
  ])('of the name %j', (text, said) => {
    for (const field of [nameUpTo(2), nameUpToBytes(2)]) expect(read(field, text)).toEqual({ said })
  })

  it.each([
    [nameUpTo(3), 'Gull', 'the name has 4 characters; 3 at most'],
    [nameUpTo(0), 'G', 'the name has 1 character; 0 at most'],
    [nameUpToBytes(3), 'éé', 'the name takes 4 bytes; the adapter keeps 3 at most'],
    [nameUpToBytes(0), 'G', 'the name takes 1 byte; the adapter keeps 0 at most'],
    [notesUpTo(3), 'Gull', 'the notes have 4 characters; 3 at most'],
    [notesUpTo(0), 'G', 'the notes have 1 character; 0 at most'],
    [notesUpToBytes(3), 'éé', 'the notes take 4 bytes; 3 at most'],
    [notesUpToBytes(0), 'G', 'the notes take 1 byte; 0 at most'],
    [notesUpTo(9), '\ude94', 'the notes hold half a character; type it again'],
    [notesUpToBytes(9), '\ude94', 'the notes hold half a character; type it again'],
  ])('that is too long: %#', (field, text, said) => {
    expect(read(field, text)).toEqual({ said })
  })
})

describe('a whole number', () => {
  const arbBounds = fc.tuple(fc.integer(), fc.nat(40)).map(([min, more]) => ({ min, max: min + more }))

  it('is one of those from the least to the most, and nothing between two of them', () => {
    fc.assert(
      fc.property(
        arbBounds,
        fc.integer({ min: -3, max: 43 }),
        fc.boolean(),
        ({ min, max }, step, between) => {
          const given = between ? min + step + 0.5 : min + step
          const fits = !between && given >= min && given <= max
          expect(read(whole(min, max), given)).toEqual(
            fits
              ? { kept: given }
              : { said: `expected a whole number from ${min} to ${max}, found ${given}` },
          )
        },
      ),
    )
  })

  it('is called what it is called for', () => {
    const field = whole(1, 4, () => 'a bank from 1 to 4')
    for (const given of [0, 5, 2.5])
      expect(read(field, given)).toEqual({ said: `expected a bank from 1 to 4, found ${given}` })
    expect(read(field, '2')).not.toHaveProperty('kept')
  })
})
