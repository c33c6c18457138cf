import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { vcdPieces, writeVcd } from '../../../src/title/vcd/write.ts'
import { dump } from './arbitrary.ts'

const base = { module: 'port', signals: ['select', 'pin1'], initial: { select: '1', pin1: 'x' } } as const

describe('writeVcd', () => {
  it('writes the header, what stands at 0 and each change', () => {
    const changes = [
      { atNs: 20, signal: 'select', value: '0' },
      { atNs: 20, signal: 'pin1', value: '0' },
      { atNs: 35, signal: 'pin1', value: '1' },
    ] as const
    expect(writeVcd({ ...base, changes, endNs: 50 }).split('\n')).toEqual([
      '$date not recorded, so that equal input gives equal files $end',
      '$version ninepin $end',
      '$timescale 1 ns $end',
      '$scope module port $end',
      '$var wire 1 ! select $end',
      '$var wire 1 " pin1 $end',
      '$upscope $end',
      '$enddefinitions $end',
      '#0',
      '$dumpvars',
      '1!',
      'x"',
      '$end',
      '#20',
      '0!',
      '0"',
      '#35',
      '1"',
      '#50',
      '',
    ])
  })

  it('has only #0 if the end is 0', () => {
    expect(writeVcd({ ...base, changes: [], endNs: 0 }).match(/#\d+/g)).toEqual(['#0'])
  })

  it('has strictly increasing stamps from 0 to the end, and the same bytes again', () => {
    fc.assert(
      fc.property(dump, (input) => {
        const text = writeVcd(input)
        const stamps = (text.match(/^#\d+$/gm) ?? []).map((stamp) => Number(stamp.slice(1)))
        expect(stamps[0]).toBe(0)
        expect(stamps.at(-1)).toBe(input.endNs)
        expect(stamps).toEqual([...new Set(stamps)].sort((a, b) => a - b))
        expect(writeVcd(input)).toBe(text)
      }),
    )
  })

  it('leaves out what changes nothing', () => {
    const changes = [{ atNs: 3, signal: 'select', value: '1' }] as const
    expect(writeVcd({ ...base, changes, endNs: 4 })).toBe(writeVcd({ ...base, changes: [], endNs: 4 }))
  })

  it('refuses times and names that would make no VCD', () => {
    const at = (...times: number[]) =>
      times.map((atNs, k) => ({ atNs, signal: 'select', value: k % 2 ? '1' : '0' }) as const)
    for (const times of [[5, 4], [11], [-1], [1.5], [Number.NaN], [Infinity]]) {
      expect(() => writeVcd({ ...base, changes: at(...times), endNs: 10 })).toThrow(RangeError)
    }
    for (const endNs of [-1, 0.5, 2 ** 53, Number.NaN]) {
      expect(() => writeVcd({ ...base, changes: [], endNs })).toThrow(RangeError)
    }
    for (const module of ['', 'a b', 'a\n', 'ä']) {
      expect(() => writeVcd({ ...base, module, changes: [], endNs: 0 })).toThrow(RangeError)
    }
  })
})

describe('vcdPieces', () => {
  const long = function* (count: number, onTaken: () => void = () => undefined) {
    for (let atNs = 1; atNs <= count; atNs++) {
      onTaken()
      yield { atNs, signal: 'pin1', value: atNs % 2 ? '1' : '0' } as const
    }
  }

  it('makes the whole of pieces that are neither long nor short, taking changes only as it goes', () => {
    let taken = 0
    const endNs = 100_000
    const pieces = vcdPieces({ ...base, changes: long(endNs, () => taken++), endNs })
    const first = pieces.next().value ?? ''
    expect(taken).toBeGreaterThan(1000)
    expect(taken).toBeLessThan(20_000)
    const all = [first, ...pieces]
    expect(taken).toBe(endNs)
    expect(all.join('')).toBe(writeVcd({ ...base, changes: long(endNs), endNs }))
    for (const piece of all.slice(0, -1)) {
      expect(piece.length).toBeGreaterThanOrEqual(65_536)
      expect(piece.length).toBeLessThan(65_600)
    }
    const changes = all.join('').match(/^#\d+\n[01]"$/gm)
    expect(changes).toEqual([...long(endNs)].map(({ atNs, value }) => `#${atNs}\n${value}"`))
  })
})
