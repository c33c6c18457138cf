import { controlMask } from '../pad/controls.ts'
import type { Control } from '../pad/controls.ts'
import { bankChangeRule, powerOnRule } from './held-controls.ts'
import { BANKS } from './schema.ts'
import type { Bank, BankTarget, Profile } from './schema.ts'

/** Controls that, held alone, make the adapter run another bank: while power comes on, or for a time while playing. */
export interface BankHold {
  readonly kind: 'power-on' | 'while-playing'
  readonly held: readonly Control[]
  /** How long they have to be held while playing, in ms; 0 at power-on. */
  readonly forMs: number
}

/**
 * The bank that a target stands for.
 *
 * @param active the active bank, from which *next* and *previous* count round all four; 0 where there is none
 */
export function targetBank(target: BankTarget, active: number): Bank {
  if (typeof target === 'number') return target
  return BANKS[(active + (target === 'next' ? 0 : 2)) % BANKS.length] as Bank
}

/**
 * Every hold by which the rules of the active bank lead to another, those at power-on first. The first rule that matches wins
 * (IMAGE.md, "Power-on" and "Bank changes"), so a rule that an earlier one takes what is held away from is none.
 */
export function bankHolds(
  { powerOn, bankChange }: Pick<Profile, 'powerOn' | 'bankChange'>,
  active: Bank,
  to: Bank,
): BankHold[] {
  const atPowerOn = powerOn.filter(
    (rule) =>
      rule.then.kind === 'bank' &&
      rule.then.bank === to &&
      powerOnRule(powerOn, controlMask(rule.held)) === rule,
  )
  const whilePlaying = bankChange.filter(
    (change) =>
      targetBank(change.bank, active) === to &&
      bankChangeRule(bankChange, controlMask(change.held), change.forMs) === change,
  )
  return [
    ...atPowerOn.map(({ held }): BankHold => ({ kind: 'power-on', held, forMs: 0 })),
    ...whilePlaying.map(({ held, forMs }): BankHold => ({ kind: 'while-playing', held, forMs })),
  ]
}
