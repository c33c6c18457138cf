import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { foreign, foreignLines, isUnseen } from '../../src/words/foreign.ts'

const anyText = fc.string({ unit: 'binary' })

describe('foreign', () => {
  test.each([
    ['escape', '\u001b[2J'],
    ['the one-byte control sequence introducer', '\u009b2J'],
    ['bell', '\u0007'],
    ['end of line', 'a\nb'],
    ['carriage return', 'a\rb'],
    ['delete', '\u007f'],
    ['next line', '\u0085'],
    ['line separator', '\u2028'],
    ['Arabic letter mark', '\u061c'],
    ['left-to-right mark', '\u200e'],
    ['right-to-left override', '\u202e'],
    ['first strong isolate', '\u2068'],
    ['zero-width space', '\u200b'],
    ['byte order mark', '\ufeff'],
    ['half a character', '\ud800'],
    ['a tag', '\u{e0041}'],
  ])('takes out %s', (_, text) => {
    expect(foreign(`before ${text} after`)).toMatch(/^before [ -~]*\?[ -~]* after$/)
  })

  test.each(['Loan pad', 'Größe №5', 'ペン', 'קורא', 'می\u200cخواهم', '👩\u200d🔧', 'e\u0301', '\u00a0'])(
    'leaves %s as it is',
    (text) => expect(foreign(text)).toBe(text),
  )

  test('what comes out goes through unchanged, and never grows in UTF-16 or UTF-8', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const shown = foreign(text)
        expect(foreign(shown)).toBe(shown)
        expect(shown.length).toBeLessThanOrEqual(text.length)
        expect(new TextEncoder().encode(shown).length).toBeLessThanOrEqual(
          new TextEncoder().encode(text).length,
        )
      }),
    )
  })
})

test('foreignLines leaves the ends of lines, and each line is what foreign makes of it', () => {
  fc.assert(
    fc.property(fc.array(anyText, { minLength: 1 }), (texts) => {
      const lines = texts.flatMap((text) => text.split('\n'))
      expect(foreignLines(lines.join('\n')).split('\n')).toEqual(lines.map(foreign))
    }),
  )
})

// Unicode's Default_Ignorable_Code_Point (UAX #44): joiners, a filler (U+3164), a variation selector; and braille without a dot.
test.each(['', ' ', '\u200b', '\u200d\u200c', '\u3164', '\ufe0f', '\u2060 \u00ad', '\u2800'])(
  'of the name %j nothing is seen',
  (unseen) => expect(isUnseen(unseen)).toBe(true),
)
test.each(['a', '\u200bé', '名', '🎮', '-'])('of the name %j something is seen', (name) =>
  expect(isUnseen(name)).toBe(false),
)
