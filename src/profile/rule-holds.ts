import { controlMask } from '../pad/controls.ts'
import type { Control } from '../pad/controls.ts'
import { isMet } from './held-controls.ts'
import type { RuleHold } from './held-controls.ts'

/** What rules ask to be held, one rule against the others of its list. */

interface TimedHold extends RuleHold {
  readonly forMs: number
}

const comesFirst = (earlier: RuleHold, later: RuleHold): boolean =>
  isMet(earlier, controlMask(later.held), later.forMs ?? 0)

/**
 * The first rule of a list decides. For each rule the number (from 1) of an earlier one that is always met before it,
 * so that it never comes to its turn; `null` where there is none.
 */
export const overruledBy = (rules: readonly RuleHold[]): (number | null)[] =>
  rules.map((rule, k) => {
    const earlier = rules.slice(0, k).findIndex((other) => comesFirst(other, rule))
    return earlier === -1 ? null : earlier + 1
  })

/** The first of some usual holds that no rule of the list is in the way of. */
export function freeHold<Hold extends RuleHold>(
  rules: readonly RuleHold[],
  usual: readonly [Hold, ...Hold[]],
): Hold {
  return usual.find((hold) => !rules.some((rule) => comesFirst(rule, hold))) ?? usual[0]
}

/** A hold while playing is long enough that no game asks for it by chance. */
export const USUAL_HOLD_MS = 2_000

const STEPS = ['dpad-right', 'dpad-left', 'dpad-up', 'dpad-down'] as const
const CENTRES: readonly Control[] = ['centre-left', 'centre', 'centre-right']

/** Holds that hands reach and titles do not ask for. */
export const USUAL_BANK_HOLDS: readonly [TimedHold, ...TimedHold[]] = [
  { held: ['centre-left', 'dpad-right'], forMs: USUAL_HOLD_MS },
  ...CENTRES.flatMap((control) => STEPS.map((step) => ({ held: [control, step], forMs: USUAL_HOLD_MS }))),
]

export const USUAL_POWER_ON_HOLDS: readonly [RuleHold, ...RuleHold[]] = [
  { held: ['centre-left'] },
  { held: ['centre-right'] },
  { held: ['face-south'] },
  { held: ['face-east'] },
  { held: ['face-west'] },
  { held: ['face-north'] },
  { held: ['shoulder-left'] },
  { held: ['shoulder-right'] },
]
