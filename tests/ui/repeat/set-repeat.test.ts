import fc from 'fast-check'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { LIMITS } from '../../../src/profile/schema.ts'
import type { Repeat } from '../../../src/profile/schema.ts'
import { countedIn, halvesOf, repeatOf, setRepeat } from '../../../src/ui/repeat/set-repeat.ts'
import { missedWords, timeRateWords } from '../../../src/ui/repeat/time-words.ts'

it('sets and ends the repeat of one input, and leaves the others', () => {
  const rate = { pressedReads: 2, releasedReads: 3 }
  const profile: Profile = { ...BUILT_IN_PROFILES['six-button'], repeat: { b: { kind: 'reads', ...rate } } }
  const edits: [string, unknown][] = []
  const editor = {
    editProfile(label: string, change: (now: Profile) => unknown) {
      edits.push([label, change(profile)])
      return null
    },
  }
  setRepeat(editor, 'a', { kind: 'reads', ...rate })
  setRepeat(editor, 'b', null)
  expect(edits).toEqual([
    [
      'auto-repeat of A',
      { ...profile, repeat: { b: { kind: 'reads', ...rate }, a: { kind: 'reads', ...rate } } },
    ],
    ['auto-repeat of B', { ...profile, repeat: {} }],
  ])
})

const count = fc.integer({ min: 1, max: LIMITS.repeatSteps })
const anyRepeat: fc.Arbitrary<Repeat> = fc
  .tuple(fc.constantFrom('reads' as const, 'time' as const), count, count)
  .map((halves) => repeatOf(...halves))

it('counts about the same in reads and in milliseconds, within what the schema takes', () => {
  expect(countedIn('time', repeatOf('reads', 1, 3))).toEqual({ kind: 'time', pressedMs: 17, releasedMs: 50 })
  expect(countedIn('reads', repeatOf('time', 20, 250))).toEqual({
    kind: 'reads',
    pressedReads: 1,
    releasedReads: 15,
  })
  fc.assert(
    fc.property(anyRepeat, (repeat) => {
      expect(countedIn(repeat.kind, repeat)).toBe(repeat)
      const other = countedIn(repeat.kind === 'reads' ? 'time' : 'reads', repeat)
      expect(other.kind).not.toBe(repeat.kind)
      for (const half of halvesOf(other)) expect(half >= 1 && half <= LIMITS.repeatSteps).toBe(true)
      expect(repeatOf(other.kind, ...halvesOf(other))).toEqual(other)
    }),
  )
})

it('says how often a repeat in milliseconds presses, and what a sample once a frame can miss', () => {
  const time = (pressedMs: number, releasedMs: number) => ({ kind: 'time', pressedMs, releasedMs }) as const
  expect(timeRateWords(time(40, 60))).toBe('10.0 Hz, on 40 % of the time')
  expect(timeRateWords(time(1, 2))).toBe('333.3 Hz, on 33 % of the time')
  // Frames of 16.688 ms and 20.120 ms (262 and 313 lines; port-facts, the colour subcarriers of ITU-R BT.1700).
  expect(missedWords(time(16, 40))).toBe(
    'Shorter than a frame: a title that samples once a frame can miss presses.',
  )
  expect(missedWords(time(40, 20))).toBe(
    'Shorter than a frame of 625 lines: a title that samples once a frame can miss pauses.',
  )
  expect(missedWords(time(17, 17))).toContain('625 lines')
  expect(missedWords(time(21, 21))).toBeNull()
})
