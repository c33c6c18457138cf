import { controlMask } from '../../pad/controls.ts'
import type { Control } from '../../pad/controls.ts'
import { bankHolds } from '../../profile/bank-holds.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import { powerOnOutcome } from '../../profile/held-controls.ts'
import { USUAL_HOLD_MS } from '../../profile/rule-holds.ts'
import { LIMITS } from '../../profile/schema.ts'
import type { Bank, Profile } from '../../profile/schema.ts'

type Rules = Pick<Profile, 'powerOn' | 'bankChange'>

/** A hold at power-on that leads from the bank with these rules to another. */
export const powerOnHold = (rules: Rules, from: Bank, to: Bank): BankHold | null =>
  bankHolds(rules, from, to).find(({ kind }) => kind === 'power-on') ?? null

/** A hold while playing that leads from the bank `from`, with these rules, to another. The adapter remembers it. */
export const playingHold = (rules: Rules, from: Bank, to: Bank): BankHold | null =>
  bankHolds(rules, from, to).find(({ kind }) => kind === 'while-playing') ?? null

/** What has to be held at power-on for the first cycle only, or `null` where no rule says so. */
export const firstCycleHold = ({ powerOn }: Pick<Profile, 'powerOn'>): readonly Control[] | null =>
  powerOn.find(({ held }) => powerOnOutcome(powerOn, controlMask(held))?.kind === 'first-cycle-only')?.held ??
  null

/** The profile with one more power-on rule, last, so that all others keep their meaning; `null` where none fits in. */
export function withPowerOn<P extends Profile>(profile: P, rule: Profile['powerOn'][number]): P | null {
  return profile.powerOn.length < LIMITS.powerOnRules
    ? { ...profile, powerOn: [...profile.powerOn, rule] }
    : null
}

/** The profile with a hold while playing that leads to a bank, last; `null` where none fits in. */
export function withPlayingHold<P extends Profile>(
  profile: P,
  held: readonly Control[],
  bank: Bank,
): P | null {
  return profile.bankChange.length < LIMITS.bankChanges
    ? { ...profile, bankChange: [...profile.bankChange, { held, forMs: USUAL_HOLD_MS, bank }] }
    : null
}
