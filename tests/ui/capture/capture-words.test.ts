import fc from 'fast-check'
import { expect, it } from 'vitest'
import { fileTitle } from '../../../src/title/capture/file-title.ts'
import type { CaptureFinding } from '../../../src/title/infer/findings.ts'
import { partFindings, percentOf, progressWords } from '../../../src/ui/capture/capture-words.ts'
import { sizeWord } from '../../../src/words/figures.ts'

it('takes the ending off a file name, and nothing else', () => {
  expect(['evening.vcd', 'a.b.sr', 'evening', '.vcd', ''].map(fileTitle)).toEqual([
    'evening',
    'a.b',
    'evening',
    '.vcd',
    '',
  ])
})

it('says sizes with as many digits as tell something', () => {
  expect([0, 950, 99_949, 123_456, 1_234_567, 345_678_901, 2.5e9].map(sizeWord)).toEqual([
    '0.0 kB',
    '0.9 kB',
    '99.9 kB',
    '123 kB',
    '1.2 MB',
    '346 MB',
    '2500 MB',
  ])
})

it('says 100 % at the end only', () => {
  fc.assert(
    fc.property(fc.nat({ max: 2 ** 40 }), fc.nat({ max: 2 ** 40 }), (a, b) => {
      const [read, size] = [Math.min(a, b), Math.max(a, b)]
      const percent = percentOf(read, size)
      expect(percent).toBeGreaterThanOrEqual(0)
      expect(percent === 100).toBe(read === size)
    }),
  )
  expect(progressWords(1_310_000, 3_100_000)).toBe('42 %, 1.3 MB of 3.1 MB')
})

it('parts what was seen, however seldom, from what no edge can tell, and from what is about the pad', () => {
  const seldom: CaptureFinding = {
    what: 'rest',
    value: 'high',
    sureness: 'guess',
    evidence: { seen: 2, of: 9, things: 'reads' },
  }
  const sampled: CaptureFinding = { what: 'sampled', value: 10, sureness: 'sure' }
  const drive: CaptureFinding = { what: 'drive', value: 'driven', sureness: 'guess' }
  const pad: CaptureFinding = { what: 'pad-table', value: { table: 'either' }, sureness: 'likely' }
  expect(partFindings([drive, seldom, pad, sampled])).toEqual({
    seen: [seldom, sampled],
    guessed: [drive],
    ofPad: [pad],
  })
})
