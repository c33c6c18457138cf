import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseTicks, parseTimescale, ticksToNs } from '../../../src/title/vcd/timescale.ts'
import type { Timescale } from '../../../src/title/vcd/timescale.ts'
import { bytesOf } from './arbitrary.ts'
import { draws } from '../../draws.ts'

/** Femtoseconds in a tick of every timescale there is. */
const TICK_FS = Object.entries({ s: 15, ms: 12, us: 9, ns: 6, ps: 3, fs: 0 }).flatMap(([unit, power]) =>
  [0, 1, 2].map((zeros): [string, bigint] => [`${10 ** zeros}${unit}`, 10n ** BigInt(power + zeros)]),
)

const timescale = fc.constantFrom(...TICK_FS)
/** A stamp of up to 64 bits, of any length. */
const ticks = fc.oneof(
  fc.nat(1000).map(BigInt),
  fc.bigInt(0n, 2n ** 53n),
  fc.bigInt(0n, 2n ** 64n - 1n),
  fc.integer({ min: 0, max: 22 }).chain((n) => fc.bigInt(10n ** BigInt(n) - 1n, 10n ** BigInt(n) + 1n)),
)

const nsOf = (text: string, stamp: string): number | undefined => {
  const number = parseTicks(bytesOf(stamp), 0, stamp.length)
  return number === undefined ? undefined : ticksToNs(parseTimescale(text) as Timescale, number)
}

describe('timescale', () => {
  it('is 1, 10 or 100 of six units, with or without a blank', () => {
    for (const [text] of TICK_FS) {
      const timescale = parseTimescale(text)
      expect(timescale).toBeDefined()
      expect(parseTimescale(text.replace(/(?<=\d)(?=\D)/, ' '))).toEqual(timescale)
    }
  })

  it.each([
    '',
    '1',
    'ns',
    '2ns',
    '1000 ns',
    '1.0 ns',
    '01 ns',
    '1NS',
    '1 min',
    '1 ns 1',
    ' 1ns',
    '-1 ns',
    '1 0 ns',
  ])('is not %j', (text) => expect(parseTimescale(text)).toBeUndefined())

  it('floors any stamp of 64 bits to whole ns exactly, and refuses what reaches 2^53 ns', () => {
    fc.assert(
      fc.property(timescale, ticks, ([text, fs], stamp) => {
        const ns = (stamp * fs) / 10n ** 6n
        expect(nsOf(text, stamp.toString())).toBe(ns < 2n ** 53n ? Number(ns) : undefined)
      }),
      { numRuns: draws(2000) },
    )
  })

  it('never goes back where the stamps do not', () => {
    fc.assert(
      fc.property(timescale, ticks, fc.bigInt(0n, 10n ** 7n), ([text], stamp, more) => {
        const early = nsOf(text, stamp.toString())
        const late = nsOf(text, (stamp + more).toString())
        expect(late === undefined || (early !== undefined && early <= late)).toBe(true)
      }),
    )
  })

  it('knows the last nanosecond', () => {
    expect(nsOf('1ns', '9007199254740991')).toBe(Number.MAX_SAFE_INTEGER)
    expect(nsOf('1ns', '9007199254740992')).toBeUndefined()
    expect(nsOf('1fs', '9007199254740991999999')).toBe(Number.MAX_SAFE_INTEGER)
    expect(nsOf('1fs', '9007199254740992000000')).toBeUndefined()
    expect(nsOf('100s', '9'.repeat(5000))).toBeUndefined()
  })

  it('reads leading zeros as nothing', () => {
    expect(nsOf('1fs', '0'.repeat(400) + '18446744073709551615')).toBe(18446744073709)
  })

  it.each(['', '-1', '+1', '1.5', '1e3', '0x10', '1_000', 'x', '١'])('takes %j for no number', (stamp) => {
    const bytes = bytesOf(stamp)
    expect(parseTicks(bytes, 0, bytes.length)).toBeUndefined()
  })
})
