import { describe, expect, it } from 'vitest'
import { kindsOf } from '../../../src/bench/symptoms.ts'
import type { SymptomCause } from '../../../src/bench/symptoms.ts'
import { READ_PATTERNS } from '../../../src/bench/symptoms/patterns.ts'
import { actWords, applyLabel, heardWords, servesWords } from '../../../src/ui/symptom/symptom-words.ts'

const causes: SymptomCause[] = READ_PATTERNS.map(({ id, family, words, title }) => ({
  pattern: id,
  family,
  words,
  title,
  reason: '',
  also: [],
}))

describe('causes by kind', () => {
  it('are all there, each kind once, in the order of the likeliest', () => {
    const kinds = kindsOf(causes)
    expect(kinds.reduce((sum, { more }) => sum + 1 + more, 0)).toBe(causes.length)
    const families = kinds.map(({ likeliest }) => likeliest.family)
    expect(new Set(families).size).toBe(families.length)
    for (const { likeliest, more } of kinds) {
      const alike = causes.filter(({ family }) => family === likeliest.family)
      expect([alike[0], alike.length]).toEqual([likeliest, more + 1])
    }
  })

  it('are heard as one sentence', () => {
    expect(heardWords([], 'Gull')).toBe('No read pattern shows this with Gull.')
    expect(heardWords(kindsOf(causes.slice(0, 1)), 'Gull')).toMatch(
      /^One kind of title is left: a title that reads/,
    )
    expect(heardWords(kindsOf(causes.slice(0, 3)), 'Gull')).toMatch(/^3 kinds of title fit\./)
  })
})

describe('what to do, in words', () => {
  it('names the inputs to hold and what to set', () => {
    expect(actWords({ kind: 'hold', held: [] })).toBe('hold nothing')
    expect(actWords({ kind: 'hold', held: ['up', 'down'] })).toBe('hold Up and Down')
    expect(actWords({ kind: 'power-on', held: ['centre-left'] })).toBe('hold Centre left at power-on')
    const set = { kind: 'setting', set: { delayNs: 0, idleResetNs: 1_100_000 } } as const
    expect(actWords(set)).toBe(
      'set the added delay to 0 ns, set the idle reset to 1.10 ms and flash the profile',
    )
  })

  it('has a button for what the app can do, and none for what hands do', () => {
    expect(applyLabel({ kind: 'hold', held: ['a'] })).toBeNull()
    expect(applyLabel({ kind: 'power-on', held: ['centre'] })).toBeNull()
    expect(applyLabel({ kind: 'profile', name: 'Gull' })).toBe('Open Gull')
    expect(applyLabel({ kind: 'setting', set: { delayNs: 8 } })).toBe('Set the added delay to 8 ns')
  })

  it('says how much of what is left it serves', () => {
    expect([servesWords(1, 1), servesWords(3, 3), servesWords(2, 3)]).toEqual([
      'It helps with this read pattern.',
      'It helps with all 3 read patterns of these kinds.',
      'It helps with 2 of the 3 read patterns of these kinds.',
    ])
  })
})
