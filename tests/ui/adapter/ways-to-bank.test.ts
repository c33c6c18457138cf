import { describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { wayWords } from '../../../src/ui/adapter/ways-to-bank.ts'

type Rules = Pick<Profile, 'powerOn' | 'bankChange'>

const rules: Rules = {
  powerOn: [
    { held: ['centre-left'], then: { kind: 'first-cycle-only' } },
    { held: ['dpad-up'], then: { kind: 'bank', bank: 2 } },
  ],
  bankChange: [
    { held: ['centre', 'dpad-right'], forMs: 1_500, bank: 'next' },
    { held: ['centre', 'dpad-left'], forMs: 0, bank: 'previous' },
    { held: ['centre'], forMs: 3_000, bank: 3 },
  ],
}
const noRules: Rules = { powerOn: [], bankChange: [] }

describe('how a flashed bank comes to answer', () => {
  it('tells every hold that the active bank has for it, from where that bank is', () => {
    expect(wayWords(2, { bank: 1, rules }, noRules)).toBe(
      'Hold D-pad up while power comes on. Or hold Centre and D-pad right for 1.5 s while playing, then let go.',
    )
    expect(wayWords(4, { bank: 1, rules }, noRules)).toBe(
      'Hold Centre and D-pad left while playing, then let go.',
    )
    expect(wayWords(1, { bank: 4, rules }, noRules)).toContain('Hold Centre and D-pad right for 1.5 s')
  })

  it('names no hold that an earlier rule takes', () => {
    const six = BUILT_IN_PROFILES['six-button']
    const [first] = six.powerOn
    if (first === undefined) throw new Error('six-button has a rule')
    const hidden: Rules = {
      bankChange: [],
      powerOn: [first, { held: ['face-south', ...first.held], then: { kind: 'bank', bank: 2 } }],
    }
    expect(wayWords(2, { bank: 1, rules: hidden }, noRules)).toContain(
      'No rule of the active bank leads to it',
    )
    expect(wayWords(2, { bank: 1, rules: noRules }, hidden)).not.toContain('hold Face south')
    const shown: Rules = { ...hidden, powerOn: [...hidden.powerOn].reverse() }
    expect(wayWords(2, { bank: 1, rules: shown }, noRules)).toMatch(
      /^Hold Face south and .* power comes on\.$/,
    )
  })

  it('says what to do where there is none', () => {
    expect(wayWords(2, { bank: 2, rules }, noRules)).toContain('It is the active bank')
    expect(wayWords(3, { bank: 1, rules: noRules }, noRules)).toContain('make it the active one here')
    expect(wayWords(3, { bank: 1, rules: null }, noRules)).toContain(
      'Or flash a profile with a power-on rule',
    )
    expect(wayWords(3, null, rules)).toContain('Or flash a profile with a power-on rule')
    expect(wayWords(4, { bank: 1, rules: noRules }, rules)).toContain(
      'With this profile in bank 1 too, hold Centre and D-pad left while playing, then let go.',
    )
  })
})
