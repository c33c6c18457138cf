import { controlMask } from '../../pad/controls.ts'
import type { Control } from '../../pad/controls.ts'
import { bankChangeFor, powerOnOutcome } from '../../profile/hands.ts'
import { BANKS, LIMITS } from '../../profile/schema.ts'
import type { Bank, BankTarget, Profile } from '../../profile/schema.ts'

/** A rule of the active bank that leads to another: held while power comes on, or for a time while playing. */
export interface Way {
  readonly kind: 'power-on' | 'while-playing'
  readonly held: readonly Control[]
  /** How long it has to be held while playing, in ms; 0 at power-on. */
  readonly forMs: number
}

/** Long enough that no game asks for it by chance. */
const CHORD_MS = 2_000

type Rules = Pick<Profile, 'powerOn' | 'bankChange'>

/** The number that *next* and *previous* stand for in a bank. */
function targetFrom(target: BankTarget | null, from: Bank): Bank | null {
  const at = BANKS.indexOf(from)
  if (target === 'next') return BANKS[(at + 1) % BANKS.length] ?? null
  if (target === 'previous') return BANKS[(at + BANKS.length - 1) % BANKS.length] ?? null
  return target
}

/** A hold at power-on that leads from the bank with these rules to another; a rule that an earlier one hides is none. */
export function powerOnWay({ powerOn }: Rules, to: Bank): Way | null {
  const rule = powerOn.find(({ held }) => {
    const then = powerOnOutcome(powerOn, controlMask(held))
    return then?.kind === 'bank' && then.bank === to
  })
  return rule === undefined ? null : { kind: 'power-on', held: rule.held, forMs: 0 }
}

/** A chord while playing that leads from the bank `from`, with these rules, to another. The adapter remembers it. */
export function chordWay({ bankChange }: Rules, from: Bank, to: Bank): Way | null {
  const change = bankChange.find(
    ({ held, forMs }) => targetFrom(bankChangeFor(bankChange, controlMask(held), forMs), from) === to,
  )
  return change === undefined ? null : { kind: 'while-playing', held: change.held, forMs: change.forMs }
}

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

/** The profile with a chord that leads to a bank, last; `null` where none fits in. */
export function withChord<P extends Profile>(profile: P, held: readonly Control[], bank: Bank): P | null {
  return profile.bankChange.length < LIMITS.bankChanges
    ? { ...profile, bankChange: [...profile.bankChange, { held, forMs: CHORD_MS, bank }] }
    : null
}
