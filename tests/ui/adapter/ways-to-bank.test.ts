import { expect, it } from 'vitest'
import { waysToBank, wayWords } from '../../../src/ui/adapter/ways-to-bank.ts'

const rules = {
  powerOn: [
    { held: ['centre-left'], then: { kind: 'first-cycle-only' } },
    { held: ['centre-left', 'dpad-up'], then: { kind: 'bank', bank: 2 } },
  ],
  bankChange: [
    { held: ['centre', 'dpad-right'], forMs: 1_500, bank: 'next' },
    { held: ['centre', 'dpad-left'], forMs: 0, bank: 'previous' },
    { held: ['centre'], forMs: 3_000, bank: 3 },
  ],
} as const

it('lists every rule of the active bank that leads to a bank', () => {
  expect(waysToBank(rules, 1, 2)).toEqual([
    'hold Centre left and D-pad up while power comes on',
    'hold Centre and D-pad right for 1.5 s while playing',
  ])
  expect(waysToBank(rules, 1, 4)).toEqual(['hold Centre and D-pad left while playing'])
  expect(waysToBank(rules, 4, 1)).toEqual(['hold Centre and D-pad right for 1.5 s while playing'])
  expect(waysToBank(rules, 2, 3)).toHaveLength(2)
})

it('says it in a sentence', () => {
  expect(wayWords(waysToBank(rules, 1, 4), 4, 1)).toBe('Hold Centre and D-pad left while playing.')
  expect(wayWords([], 2, 2)).toContain('active bank')
  expect(wayWords([], 3, 1)).toContain('make it the active one here')
  expect(wayWords([], 4, 1, waysToBank(rules, 1, 4))).toContain(
    'With this profile in bank 1 too, hold Centre and D-pad left while playing.',
  )
})
