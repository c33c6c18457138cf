import fc from 'fast-check'
import * as v from 'valibot'
import { describe, expect, it } from 'vitest'
import { canKeepFirstCycle } from '../../src/bench/plan/first-cycle.ts'
import { layOut } from '../../src/bench/plan/lay-out.ts'
import type { LaidOut } from '../../src/bench/plan/lay-out.ts'
import type { BankHold } from '../../src/profile/bank-holds.ts'
import { controlMask } from '../../src/pad/controls.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { powerOnOutcome } from '../../src/profile/held-controls.ts'
import { ImageRunner } from '../reference/profile/run-image.ts'
import { BANKS, LIMITS, ProfileSchema } from '../../src/profile/schema.ts'
import type { Bank, Profile } from '../../src/profile/schema.ts'
import { arbBankChange, arbControlMask, arbPowerOnRule, arbProfile } from '../arbitraries.ts'

/** Profiles with few rules of their own, so that a plan has something to add. */
const arbRules = (most: number): fc.Arbitrary<Profile> =>
  fc
    .tuple(
      arbProfile,
      fc.array(arbPowerOnRule, { maxLength: most }),
      fc.array(arbBankChange, { maxLength: most }),
    )
    .map(([profile, powerOn, bankChange]) => ({ ...profile, powerOn, bankChange }))

const arbPlaced = (most: number) =>
  fc.array(
    fc
      .tuple(arbRules(most), fc.boolean())
      .map(([profile, wish]) => ({ profile, firstCycle: wish && canKeepFirstCycle(profile) })),
    { minLength: 1, maxLength: 4 },
  )

/** The bank that a way leads to, read from the image as the adapter does it (IMAGE.md), which the plan does not do. */
function leadsTo({ profile, bank }: LaidOut, way: BankHold): number | null {
  const runner = new ImageRunner(encodeImage(profile))
  const held = controlMask(way.held)
  if (way.kind === 'while-playing') return runner.bankChange(held, way.forMs, bank)
  const answer = runner.powerOn(held)
  return answer.kind === 'bank' ? answer.bank : null
}

const at = (banks: readonly LaidOut[], bank: Bank): LaidOut => banks[bank - 1] as LaidOut

describe('layOut', () => {
  it('every way that it names leads there, by the image of the bank it starts from', () => {
    fc.assert(
      fc.property(arbPlaced(4), (placed) => {
        const banks = layOut(placed)
        for (const { bank, ways, back, firstCycle } of banks) {
          expect(ways.map(({ from }) => from)).toEqual(
            BANKS.slice(0, placed.length).filter((from) => from !== bank),
          )
          for (const { from, way } of ways) if (way !== null) expect(leadsTo(at(banks, from), way)).toBe(bank)
          if (firstCycle?.into) expect(leadsTo(at(banks, 1), firstCycle.into)).toBe(bank)
          if (back !== null) expect(leadsTo(at(banks, bank), back)).toBe(1)
          if (bank === 1) expect(back).toBeNull()
        }
      }),
    )
  })

  it('the hold for the first cycle keeps the image to it, in every bank that needs it', () => {
    fc.assert(
      fc.property(arbPlaced(3), (placed) => {
        layOut(placed).forEach(({ profile, firstCycle }, k) => {
          expect(firstCycle !== null).toBe(placed[k]?.firstCycle)
          if (!firstCycle?.held) return
          const runner = new ImageRunner(encodeImage(profile))
          expect(runner.powerOn(controlMask(firstCycle.held))).toEqual({ kind: 'first-cycle-only' })
        })
      }),
    )
  })

  it('no bank is without a way where the profiles have no rules yet, and all of them are holds at power-on', () => {
    fc.assert(
      fc.property(arbPlaced(0), (placed) => {
        for (const { bank, ways, back, firstCycle } of layOut(placed)) {
          for (const { way } of ways) expect(way?.kind).toBe('power-on')
          expect(new Set(ways.map(({ way }) => String(way?.held))).size).toBeLessThan(2)
          if (firstCycle === null) continue
          expect(firstCycle.held).not.toBeNull()
          if (bank !== 1) expect([firstCycle.into?.kind, back?.kind]).toEqual(Array(2).fill('while-playing'))
        }
      }),
    )
  })

  it('profiles stay sound, and keep their rules and what each of them means', () => {
    fc.assert(
      fc.property(arbPlaced(4), fc.array(arbControlMask, { maxLength: 20 }), (placed, holds) => {
        layOut(placed).forEach(({ profile }, k) => {
          const given = placed[k]?.profile as Profile
          expect(v.parse(ProfileSchema, profile)).toEqual(profile)
          expect(profile.powerOn.slice(0, given.powerOn.length)).toEqual(given.powerOn)
          expect(profile.bankChange.slice(0, given.bankChange.length)).toEqual(given.bankChange)
          expect({ ...profile, powerOn: [], bankChange: [] }).toEqual({
            ...given,
            powerOn: [],
            bankChange: [],
          })
          for (const held of [...holds, ...given.powerOn.map((rule) => controlMask(rule.held))]) {
            const before = powerOnOutcome(given.powerOn, held)
            if (before !== null) expect(powerOnOutcome(profile.powerOn, held)).toEqual(before)
          }
        })
      }),
    )
  })

  it('keeps to the first cycle only what has another, and a rule for it or room for one', () => {
    const full = Array.from({ length: LIMITS.powerOnRules }, () => ({
      held: ['extra-1' as const],
      then: { kind: 'bank' as const, bank: 2 as const },
    }))
    expect(canKeepFirstCycle(six)).toBe(true)
    expect(canKeepFirstCycle(three)).toBe(false)
    expect(canKeepFirstCycle({ ...six, powerOn: full.slice(1) })).toBe(true)
    expect(canKeepFirstCycle({ ...six, powerOn: full })).toBe(false)
    expect(canKeepFirstCycle({ ...six, powerOn: [...six.powerOn, ...full.slice(1)] })).toBe(true)
    // A rule that an earlier one hides is none.
    expect(
      canKeepFirstCycle({
        ...six,
        powerOn: [...full.slice(1), { held: ['extra-1'], then: { kind: 'first-cycle-only' } }],
      }),
    ).toBe(false)
  })

  const six = BUILT_IN_PROFILES['six-button']
  const three = BUILT_IN_PROFILES['three-button']

  it('uses what is there: the six-button profile has Mode for its first cycle', () => {
    const [first] = layOut([{ profile: six, firstCycle: true }])
    expect(first).toEqual({
      bank: 1,
      profile: six,
      ways: [],
      back: null,
      firstCycle: { held: ['centre-left'], into: null },
    })
  })

  it('proposes buttons that are mapped: A for bank 1, B for bank 2', () => {
    const [first, second] = layOut([six, three].map((profile) => ({ profile, firstCycle: false })))
    expect(first?.ways).toEqual([{ from: 2, way: { kind: 'power-on', held: three.mapping.a, forMs: 0 } }])
    expect(second?.ways).toEqual([{ from: 1, way: { kind: 'power-on', held: six.mapping.b, forMs: 0 } }])
  })

  it('turns to a chord where the power-on rules are full', () => {
    const powerOn = Array.from({ length: LIMITS.powerOnRules }, () => ({
      held: ['extra-1' as const],
      then: { kind: 'bank' as const, bank: 4 as const },
    }))
    const [, second] = layOut([
      { profile: { ...six, powerOn }, firstCycle: false },
      { profile: three, firstCycle: false },
    ])
    expect(second?.ways[0]?.way?.kind).toBe('while-playing')
    expect(second?.ways[0]?.way?.held).toHaveLength(2)
  })

  it('a chord that is there is used, the next bank by its number', () => {
    const profile: Profile = {
      ...six,
      bankChange: [{ held: ['centre-left', 'centre-right'], forMs: 500, bank: 'next' }],
    }
    const banks = layOut([profile, three].map((one) => ({ profile: one, firstCycle: false })))
    expect(banks[1]?.ways[0]?.way).toEqual({
      kind: 'while-playing',
      held: ['centre-left', 'centre-right'],
      forMs: 500,
    })
    expect(banks[0]?.profile).toEqual(profile)
    // The adapter remembers it, so there has to be a chord back.
    expect(banks[1]?.back?.kind).toBe('while-playing')
  })
})
