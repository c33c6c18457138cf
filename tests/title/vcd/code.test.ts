import { describe, expect, it } from 'vitest'
import { codeAt, codeKey } from '../../../src/title/vcd/code.ts'
import { bytesOf } from './arbitrary.ts'

const keyOf = (code: string) => codeKey(bytesOf(code), 0, bytesOf(code).length)

describe('identifier codes', () => {
  it('are counted from ! to ~, then with two characters', () => {
    expect([0, 1, 93, 94, 187, 188, 94 + 94 ** 2].map(codeAt)).toEqual([
      '!',
      '"',
      '~',
      '!!',
      '!~',
      '"!',
      '!!!',
    ])
  })

  it('have keys that count them, so all differ', () => {
    const indices = Array.from({ length: 20_000 }, (_, k) => k)
    expect(indices.map((index) => keyOf(codeAt(index)))).toEqual(indices.map((index) => index + 1))
  })

  it('have keys that are equal only where the codes are, at the end of what a double counts and beyond', () => {
    const ends = ['!', '"', '}', '~']
    const codes = [
      ...['~~~~~~~', '~~~~~~~~', '~~~~~~~~~', '~~~~~~~~~~~~~~~~~~~~'].flatMap((start) =>
        ends.map((end) => start + end),
      ),
      ...['ä', 'ö', 'Ö', '€', 'a€', '1', '94', '6157217162'],
    ]
    expect(new Set(codes.map(keyOf)).size).toBe(new Set(codes).size)
    expect(codes.map(keyOf)).toEqual(codes.map(keyOf))
  })
})
