import fc from 'fast-check'
import { expect, it } from 'vitest'
import { CONTROLS, controlMask } from '../../src/pad/controls.ts'
import { bankChangeFor, powerOnOutcome } from '../../src/profile/held-controls.ts'
import { BANKS } from '../../src/profile/schema.ts'
import type { Bank, BankChange } from '../../src/profile/schema.ts'
import {
  USUAL_BANK_HOLDS,
  USUAL_POWER_ON_HOLDS,
  freeHold,
  overruledBy,
} from '../../src/profile/rule-holds.ts'

it('names the rule that is always met before another', () => {
  expect(
    overruledBy([
      { held: ['centre-left', 'dpad-up'], forMs: 2_000 },
      { held: ['centre-left', 'dpad-up'], forMs: 2_000 },
      { held: ['centre-left', 'dpad-up'], forMs: 500 },
      { held: ['dpad-up', 'centre-left', 'face-south'], forMs: 3_000 },
      { held: ['centre-left'], forMs: 2_000 },
    ]),
  ).toEqual([null, 1, null, 1, null])
})

const rules = fc.array(
  fc.record({
    held: fc.uniqueArray(fc.constantFrom(...CONTROLS.slice(0, 4)), { minLength: 1 }),
    forMs: fc.constantFrom(0, 500, 2_000),
    bank: fc.constantFrom(1, 2, 3, 4),
  }),
  { maxLength: 6 },
) as fc.Arbitrary<BankChange[]>

it('is what the profile does: a rule that is overruled changes nothing, whatever is held for however long', () => {
  fc.assert(
    fc.property(rules, fc.nat(15), fc.nat(3_000), (all, held, heldMs) => {
      const inForce = all.filter((_, k) => overruledBy(all)[k] === null)
      expect(bankChangeFor(inForce, held, heldMs)).toBe(bankChangeFor(all, held, heldMs))
    }),
  )
})

it('offers a new rule a hold of its own', () => {
  const bankRules: { held: readonly (typeof CONTROLS)[number][]; forMs: number }[] = []
  for (let k = 0; k < 8; k++) bankRules.push(freeHold(bankRules, USUAL_BANK_HOLDS))
  expect(overruledBy(bankRules).every((earlier) => earlier === null)).toBe(true)

  const powerOnRules: { held: readonly (typeof CONTROLS)[number][] }[] = []
  for (let k = 0; k < USUAL_POWER_ON_HOLDS.length; k++)
    powerOnRules.push(freeHold(powerOnRules, USUAL_POWER_ON_HOLDS))
  const banks = powerOnRules.map(({ held }, k) => ({
    held: [...held],
    then: { kind: 'bank' as const, bank: BANKS[k % BANKS.length] as Bank },
  }))
  powerOnRules.forEach(({ held }, k) => {
    expect(held.length).toBeGreaterThan(0)
    expect(powerOnOutcome(banks, controlMask(held))).toBe(banks[k]?.then)
  })

  const first = freeHold([], USUAL_POWER_ON_HOLDS)
  const second = freeHold([first], USUAL_POWER_ON_HOLDS)
  const outcome = powerOnOutcome(
    [
      { held: [...first.held], then: { kind: 'bank', bank: 1 } },
      { held: [...second.held], then: { kind: 'bank', bank: 2 } },
    ],
    controlMask(second.held),
  )
  expect(outcome).toEqual({ kind: 'bank', bank: 2 })
})
