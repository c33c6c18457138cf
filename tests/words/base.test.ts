import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cellWord, inputList } from '../../src/port/input-texts.ts'
import { timeWord } from '../../src/words/figures.ts'
import { listWords } from '../../src/words/lists.ts'
import { numberWord, ordinalWord } from '../../src/words/number-texts.ts'

describe('words for sentences', () => {
  it('list with commas and one "and"', () => {
    expect(listWords([])).toBe('')
    expect(inputList(['up'])).toBe('Up')
    expect(inputList(['up', 'a'])).toBe('Up and A')
    expect(inputList(['x', 'y', 'z', 'mode'])).toBe('X, Y, Z and Mode')
    expect(listWords(['pin 1', 'pin 9'])).toBe('pin 1 and pin 9')
  })

  it('levels in small letters, inputs by their names', () => {
    expect(['low', 'high', 'c', 'start'].map((cell) => cellWord(cell as 'low'))).toEqual([
      'low',
      'high',
      'C',
      'Start',
    ])
  })

  it.each([
    [0, '0 ns'],
    [999, '999 ns'],
    [-20, '−20 ns'],
    [1_000, '1.00 µs'],
    [1_999, '1.99 µs'],
    [999_999, '999.99 µs'],
    [-1_999, '−1.99 µs'],
    [1_500_000, '1.50 ms'],
    [16_688_152, '16.68 ms'],
  ])('%i ns is %s', (ns, said) => {
    expect(timeWord(ns)).toBe(said)
  })

  it('a time is never said to be longer than it is, nor shorter by a hundredth of its unit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 100_000_000 }), (ns) => {
        const [, figure, unit] = /^([\d.]+) (ns|µs|ms)$/.exec(timeWord(ns)) ?? []
        const perUnit = unit === 'ns' ? 1 : unit === 'µs' ? 1_000 : 1_000_000
        const saidNs = Math.round(Number(figure) * perUnit)
        expect(saidNs).toBeLessThanOrEqual(ns)
        expect(ns - saidNs).toBeLessThan(Math.max(1, perUnit / 100))
      }),
    )
  })

  it('counts and orders in words as far as a read goes, in figures beyond', () => {
    expect([0, 1, 5, 12, 13].map(numberWord)).toEqual(['no', 'one', 'five', 'twelve', '13'])
    expect([1, 3, 10, 11, 16].map(ordinalWord)).toEqual(['first', 'third', 'tenth', '11th', '16th'])
    expect([21, 22, 23, 101, 111].map(ordinalWord)).toEqual(['21st', '22nd', '23rd', '101st', '111th'])
  })
})
