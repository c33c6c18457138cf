import { afterEach, describe, expect, it } from 'vitest'
import { exactTimeWord, frequencyWord } from '../../src/words/figures.ts'
import {
  crcWord,
  crcWords,
  hexWord,
  numbersWord,
  prefixedHexWord,
  releaseWord,
} from '../../src/words/hexadecimal.ts'
import { eitherWords, listWords, rowWords } from '../../src/words/lists.ts'
import { figure, language, setLanguage, texts, translationOf } from '../../src/words/texts.ts'

const t = texts('test', {
  plain: 'Saved.',
  named: '{name} matches {other}.',
  bytes: { n: { 0: 'no bytes', one: '{n} byte', other: '{n} bytes' } },
  place: { 'n:ordinal': { one: '{n}st', two: '{n}nd', few: '{n}rd', other: '{n}th' } },
  state: { kind: { clean: '{title} is clean', tight: { n: { one: 'one tight', other: '{n} tight' } } } },
  demo: { demo: { true: 'demo adapter', false: 'adapter' } },
  marked: '<b>Not saved.</b> {reason}',
})

const dutch = {
  code: 'nl',
  catalogues: {
    test: translationOf<typeof t>()({
      plain: 'Bewaard.',
      named: '{other} is gelijk aan {name}.',
      bytes: { n: { one: '{n} byte', other: '{n} bytes' } },
      place: { 'n:ordinal': { other: '{n}e' } },
      state: { kind: { clean: '{title} is zuiver', tight: { n: { other: '{n} krap' } } } },
      demo: { demo: { true: 'demo', false: 'echt' } },
      marked: '{reason} <b>Niet bewaard.</b>',
    }),
  },
}

afterEach(() => setLanguage(null))

describe('texts', () => {
  it('are strings, or functions of their values', () => {
    expect(t.plain).toBe('Saved.')
    expect(t.named({ name: 'Gull', other: 'bank 2' })).toBe('Gull matches bank 2.')
  })

  it('choose by plural, by the figure itself, by ordinal and by word', () => {
    expect([0, 1, 2].map((n) => t.bytes({ n }))).toEqual(['no bytes', '1 byte', '2 bytes'])
    expect([1, 2, 3, 4, 11, 22].map((n) => t.place({ n }))).toEqual([
      '1st',
      '2nd',
      '3rd',
      '4th',
      '11th',
      '22nd',
    ])
    expect(t.state({ kind: 'clean', title: 'Rally', n: 0 })).toBe('Rally is clean')
    expect(t.state({ kind: 'tight', title: 'Rally', n: 3 })).toBe('3 tight')
    expect([true, false].map((demo) => t.demo({ demo }))).toEqual(['demo adapter', 'adapter'])
  })

  it('take a value as it is, whatever signs it has', () => {
    expect(t.named({ name: '{other} <b>$1', other: '$&' })).toBe('{other} <b>$1 matches $&.')
  })

  it('keep tags apart from what a user wrote', () => {
    expect(t.marked({ reason: 'a </b> c' })).toBe('\uE000b\uE000Not saved.\uE000/b\uE000 a </b> c')
  })

  it('follow the language, whenever it is set, and fall back to English', () => {
    setLanguage({ code: 'nl', catalogues: {} })
    expect(t.plain).toBe('Saved.')
    setLanguage(dutch)
    expect([t.plain, t.named({ name: 'Gull', other: 'bank 2' }), t.place({ n: 2 })]).toEqual([
      'Bewaard.',
      'bank 2 is gelijk aan Gull.',
      '2e',
    ])
    expect([listWords(['A', 'B', 'C']), figure(1.5)]).toEqual(['A, B en C', '1,5'])
    setLanguage(null)
    expect([t.plain, listWords(['A', 'B', 'C']), figure(1.5)]).toEqual(['Saved.', 'A, B and C', '1.5'])
  })

  it('hand their language to a worker as data', () => {
    expect(language()).toBe(null)
    setLanguage(dutch)
    setLanguage(structuredClone(language()))
    expect(t.plain).toBe('Bewaard.')
  })

  it('are typed by their English: values, and what a translation must have', () => {
    const untaken = () => {
      // @ts-expect-error a value is missing
      t.named({ name: 'Gull' })
      // @ts-expect-error no such value
      t.bytes({ count: 1 })
      // @ts-expect-error a plural counts
      t.bytes({ n: 'one' })
      // @ts-expect-error no such case
      t.state({ kind: 'misread', title: '', n: 1 })
      // @ts-expect-error a plain text takes nothing
      t.plain({})
    }
    expect(untaken).toBeTypeOf('function')
    const _small = texts('small', { a: 'A', b: '{x} and {y}', c: { n: { one: '', other: '{n}' } } })
    type Small = typeof _small
    translationOf<Small>()({ a: 'Ah', b: '{y} en {x}', c: { n: { few: '{n}', other: '{n}' } } })
    // @ts-expect-error a key is missing
    translationOf<Small>()({ a: 'Ah', b: '{y} en {x}' })
    // @ts-expect-error a key too many
    translationOf<Small>()({ a: 'Ah', b: '{y} en {x}', c: { n: { other: '{n}' } }, d: '' })
    // @ts-expect-error a value is lost
    translationOf<Small>()({ a: 'Ah', b: '{y}', c: { n: { other: '{n}' } } })
    // @ts-expect-error a value comes from nowhere
    translationOf<Small>()({ a: '{z}', b: '{y} {x}', c: { n: { other: '{n}' } } })
  })
})

describe('figures and lists', () => {
  it.each([
    [0, '0'],
    [-0, '0'],
    [1234567, '1234567'],
    [0.1, '0.1'],
    [-2.25, '-2.25'],
  ])('%f is %s', (value, said) => expect(figure(value)).toBe(said))

  it('with decimals are what they always were', () => {
    for (const value of [0, 0.005, 1.005, 59.9227, 1e6 / 3, 12.345])
      expect(figure(value, 2)).toBe(value.toFixed(2))
  })

  it('have the unit that suits them', () => {
    expect([999, 1_500, 16_688_152, -2_500, 3e9].map(exactTimeWord)).toEqual([
      '999 ns',
      '1.5 µs',
      '16.688152 ms',
      '-2.5 µs',
      '3 s',
    ])
    expect([59.9227, 15_700, 7_670_000].map(frequencyWord)).toEqual([
      '59.9227 Hz',
      '15.7000 kHz',
      '7.6700 MHz',
    ])
  })

  it('are joined as the language joins', () => {
    expect([[], ['A'], ['A', 'B'], ['A', 'B', 'C']].map(listWords)).toEqual([
      '',
      'A',
      'A and B',
      'A, B and C',
    ])
    expect(eitherWords(['A', 'B', 'C'])).toBe('A, B or C')
    expect(rowWords(['A', 'B', 'C'])).toBe('A, B, C')
  })
})

it('hexadecimal has capitals, and as many digits as are asked for', () => {
  expect([hexWord(0xa1, 2), hexWord(5, 4), prefixedHexWord(0xff, 4)]).toEqual(['A1', '0005', '0x00FF'])
  expect(numbersWord({ vendorId: 0x1209, productId: 1 })).toBe('1209:0001')
  expect([releaseWord(0x0213), releaseWord(0x1204)]).toEqual(['2.13', '12.04'])
  expect([crcWord(0x5a3c91e0), crcWords(0x5a3c91e0), crcWords(0xf0000001), crcWord(-1)]).toEqual([
    '5A3C91E0',
    '5A3C 91E0',
    'F000 0001',
    'FFFFFFFF',
  ])
})
