import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { ChangeReader } from '../../../src/title/vcd/changes.ts'
import { CaptureReader } from './capture-reader.ts'
import { readVcd } from './read-vcd.ts'
import { bytesOf, cutAt } from './arbitrary.ts'
import { draws, often } from '../../draws.ts'

/**
 * The quick way through usual lines, held against the word machine. A chunk of one byte never has a whole line in it, so byte by byte
 * a file takes the word machine all the way.
 */

const CODES = ['!', '"', '#', '$', '0', '1', 'b', '~', '!!', '!0', '0!', '#1', '~~', 'abc', '!!!'] as const
const code = fc.constantFrom(...CODES)

const header = (timescale: string) =>
  `$timescale ${timescale} $end\n` +
  CODES.map((name) => `$var wire 1 ${name} w${name} $end\n`).join('') +
  '$var wire 4 % bus [3:0] $end\n$var real 64 @ warmth $end\n$enddefinitions $end\n'

const change = fc
  .tuple(fc.constantFrom('0', '1', '0', '1', 'x', 'z', 'X', 'Z'), code)
  .map((pair) => pair.join(''))
const unusual = fc.oneof(
  code.map((name) => `b1 ${name}`),
  code.map((name) => `0${name} 1${name}`),
  code.map((name) => `${name.length === 1 ? '' : ' '}1${name}\r`),
  fc.constantFrom(
    '',
    ' ',
    'b10 %',
    'r1.5 @',
    '$comment 0! #3',
    '$dumpoff x! $end',
    '$dumpvars 1!',
    '$comment é $end',
  ),
)
const wrong = fc.oneof(
  fc.constantFrom(
    '0?',
    '0??',
    '1!?',
    '1',
    '0',
    '#',
    '#x',
    '#1 2',
    '#9x',
    '#-1',
    '#0',
    '2!',
    '0%',
    '0@',
    '\0',
  ),
  fc.constantFrom('#9007199254740993', '#90071992547409', `#${'9'.repeat(40)}`, '#90071992'),
)

/** Ticks to the next stamp; together they pass the 9 digits and the 15 digits of the quick way. */
const step = fc.oneof(
  { weight: 100, arbitrary: fc.bigInt(0n, 2000n) },
  {
    weight: 1,
    arbitrary: fc.constantFrom(10n ** 8n, 9n * 10n ** 8n, 10n ** 14n, 9n * 10n ** 14n, 10n ** 16n),
  },
)
const stamp = fc.tuple(step, fc.constantFrom('', '', '', '', '0', '00000000'))

type Line = string | readonly [bigint, string]
const line = (unusualWeight: number): fc.Arbitrary<Line> =>
  fc.oneof<fc.WeightedArbitrary<Line>[]>(
    { weight: 60, arbitrary: change },
    { weight: 20, arbitrary: stamp },
    { weight: unusualWeight, arbitrary: unusual },
  )

const dump = fc
  .record({
    timescale: fc.constantFrom('1 ns', '1 ns', '10 ps', '100 fs', '1 fs', '100 us', '1 s'),
    lines: fc.oneof(...[0, 1, 20].map((weight) => fc.array(line(weight), { maxLength: 400, size: 'max' }))),
    ending: fc.constantFrom('\n', ''),
    lineEnd: fc.constantFrom('\n', '\n', '\r\n'),
  })
  .map(({ timescale, lines, ending, lineEnd }) => {
    let ticks = 0n
    const texts = lines.map((said) =>
      typeof said === 'string' ? said : `#${said[1]}${(ticks += said[0]).toString()}`,
    )
    return (header(timescale) + texts.join('\n') + ending).replaceAll('\n', lineEnd)
  })

const asked = code.map((name) => `w${name}`)

let taken = 0
beforeEach(() => {
  taken = 0
  const lines = ChangeReader.prototype.lines
  vi.spyOn(ChangeReader.prototype, 'lines').mockImplementation(function (this: ChangeReader, ...args) {
    const at = lines.apply(this, args)
    taken += this.linesTaken
    return at
  })
})
afterEach(() => vi.restoreAllMocks())

function read(chunks: Iterable<Uint8Array>, signal: string) {
  const reader = new CaptureReader({ signal })
  for (const chunk of chunks) reader.push(chunk)
  return reader.finish()
}

/** What the word machine makes of it. */
function byWords(bytes: Uint8Array, signal: string) {
  const before = taken
  const result = read(cutAt(bytes, Array.from(bytes.keys())), signal)
  expect(taken).toBe(before)
  return result
}

describe('lines taken the quick way give the very same as their words', () => {
  it('in good dumps, whole and in chunks', () => {
    let lines = 0
    let good = 0
    fc.assert(
      fc.property(dump, asked, fc.array(fc.nat(), { maxLength: 8 }), (text, signal, places) => {
        const bytes = bytesOf(text)
        const expected = byWords(bytes, signal)
        expect(readVcd(bytes, { signal })).toEqual(expected)
        expect(read(cutAt(bytes, places), signal)).toEqual(expected)
        lines += text.split('\n').length
        if (expected.ok) good++
      }),
      { numRuns: draws(400) },
    )
    // The quick way was gone: by most lines, each of them twice.
    expect(taken).toBeGreaterThan(lines)
    expect(good).toBeGreaterThan(often(50))
  })

  it('in dumps with something wrong, down to the line', () => {
    const faults = new Set<string>()
    const edit = fc.record({
      at: fc.nat(),
      drop: fc.nat(3),
      put: fc.oneof(wrong, change, fc.constantFrom('\n', '\r')),
    })
    const edits = fc.array(edit, { minLength: 1, maxLength: 3 })
    fc.assert(
      fc.property(dump, edits, asked, fc.array(fc.nat(), { maxLength: 4 }), (text, some, signal, places) => {
        const start = text.indexOf('$enddefinitions $end')
        let edited = text
        for (const { at, drop, put } of some) {
          const from = start + (at % (edited.length - start))
          edited = edited.slice(0, from) + put + edited.slice(from + drop)
        }
        const bytes = bytesOf(edited)
        const expected = byWords(bytes, signal)
        expect(readVcd(bytes, { signal })).toEqual(expected)
        expect(read(cutAt(bytes, places), signal)).toEqual(expected)
        if (!expected.ok) faults.add(expected.error.message.replaceAll(/[^a-z ]/g, ''))
      }),
      { numRuns: draws(600) },
    )
    expect(taken).toBeGreaterThan(often(10_000))
    expect(faults.size).toBeGreaterThan(often(5))
  })

  it('in dumps with any byte changed', () => {
    const damage = fc.array(fc.record({ at: fc.nat(), byte: fc.nat(255) }), { minLength: 1, maxLength: 3 })
    fc.assert(
      fc.property(dump, damage, asked, (text, damages, signal) => {
        const bytes = bytesOf(text)
        for (const { at, byte } of damages) bytes[at % bytes.length] = byte
        expect(readVcd(bytes, { signal })).toEqual(byWords(bytes, signal))
      }),
      { numRuns: draws(400) },
    )
    expect(taken).toBeGreaterThan(often(1000))
  })

  it('at the ends of what the quick way counts, on every clock', () => {
    const ends = [9, 10, 15, 16].flatMap((digits) => ['1'.padEnd(digits, '0'), '9'.repeat(digits)])
    const latest = [2 ** 53 - 1, Math.floor((2 ** 53 - 1) / 1e5), Math.floor((2 ** 53 - 1) / 1e9)]
    const stamps = [...ends, ...latest.flatMap((ticks) => [ticks - 1, ticks, ticks + 1])]
    for (const timescale of ['1 ns', '10 ps', '1 ps', '1 fs', '100 us', '1 s']) {
      for (const ticks of stamps) {
        const bytes = bytesOf(`${header(timescale)}#0\n0!\n#7\n1!\n#${ticks}\n0!\n1!\n`)
        expect(readVcd(bytes, { signal: 'w!' })).toEqual(byWords(bytes, 'w!'))
      }
    }
  })

  it.each([
    '#',
    '#\r',
    '#0\r\r',
    '0!\r\r',
    '0!!\r\r',
    '0!!\r!',
    '0!\r!',
    '0\r',
    '0!!!',
    '#0!',
    '#0\r1',
    '\r',
    '0! ',
    '#0 ',
  ])('around the line %j', (odd) => {
    for (const signal of ['w!', 'w!!', 'w!!!']) {
      const bytes = bytesOf(`${header('1 ns')}#0\n0!\n${odd}\n1!\n1!!\n${odd}\n#0\n`)
      expect(readVcd(bytes, { signal })).toEqual(byWords(bytes, signal))
    }
  })

  it('with either line end, and not by the word machine', () => {
    const lines = ['#1', '1!', '0!!', '#20000000000', '0!', '1~~', 'X~']
    for (const end of ['\n', '\r\n']) {
      taken = 0
      const said = lines.map((text) => text + end).join('')
      const result = readVcd(bytesOf(`${header('1 ns')}#0\n${said}`), { signal: 'w!' })
      expect(taken).toBe(lines.length)
      expect(result).toMatchObject({
        ok: true,
        value: { timesNs: Float64Array.of(1, 2e10), values: Uint8Array.of(1, 0) },
      })
    }
  })
})

it('long streams are read, whatever their size', () => {
  const reader = new CaptureReader({ signal: 'w!!' })
  reader.push(bytesOf(header('1 ns') + '#5\n'))
  const chunk = bytesOf('0!\n#000000000000005\n'.repeat(40_000))
  const chunks = Math.ceil((260 * 2 ** 20) / chunk.length)
  for (let k = 0; k < chunks; k++) expect(reader.push(chunk)).toBe(true)
  reader.push(bytesOf('#9\n0!!\n'))
  expect(reader.finish()).toMatchObject({
    ok: true,
    value: { startNs: 5, endNs: 9, values: Uint8Array.of(0) },
  })
  expect(taken).toBeGreaterThanOrEqual(chunks * 80_000)
})
