import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { gridLines } from '../../../src/ui/fix/grid-words.ts'

const six = BUILT_IN_PROFILES['six-button']
const line = (profile: Parameters<typeof gridLines>[0], what: string) =>
  gridLines(profile).find((one) => one.what === what)?.values

/** The numbers of a line of the table in FIX.md, which is what the bench publishes. */
const published = (kind: string): number[] => {
  const text = readFileSync(new URL('../../../src/bench/fix/FIX.md', import.meta.url), 'utf8')
  const row = text.split('\n').find((one) => one.startsWith(`| ${kind} `))
  return numbersIn(row ?? '')
}
const numbersIn = (words: string): number[] => (words.match(/\d+(\.\d+)?/g) ?? []).map(Number)

it('names the values that FIX.md names', () => {
  for (const kind of ['added delay', 'idle reset']) {
    expect(published(kind).length).toBeGreaterThan(7)
    expect(numbersIn(line(six, kind) ?? '')).toEqual(published(kind))
  }
  expect(line(six, 'idle reset')).toMatch(/^10 µs, 20 µs, .* 750 µs, 1 ms, 1\.1 ms, .* and 20 ms$/)
})

it('says what each kind does to this profile', () => {
  expect(gridLines(six)).toHaveLength(8)
  expect(line(six, 'number of cycles')).toBe(
    'from “stop after the fourth cycle” to “stop after the first cycle”',
  )
  expect(line(six, 'after the last cycle')).toBe('start again after the last cycle')
  expect(line(six, 'first cycle only')).toContain('hold Centre left at power-on')
  expect(line(six, 'Up with Down')).toBe('let Up with Down count as neither')
})

it('says why a kind has nothing to try', () => {
  const none = {
    ...six,
    powerOn: [],
    mapping: { ...six.mapping, mode: [] },
    opposite: { vertical: 'neutral', horizontal: 'last' },
  } as const
  expect(line(none, 'Up with Down')).toBe('already limited by the profile')
  expect(line(none, 'Left with Right')).toBe('already limited by the profile')
  expect(line(none, 'first cycle only')).toContain('no control for Mode')
})
