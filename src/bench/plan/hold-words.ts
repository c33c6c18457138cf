import type { Control } from '../../pad/controls.ts'
import type { ControlWords } from '../../pad/control-texts.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import { listWords } from '../../words/lists.ts'
import { t } from './hold-texts.ts'

/** What the texts about a hold are to be given. */
export interface HoldValues {
  readonly way: 'powerOn' | 'playing' | 'playingFor'
  readonly held: string
  readonly seconds: number
}

export const holdValues = ({ kind, held, forMs }: BankHold, controls: ControlWords): HoldValues => ({
  way: kind === 'power-on' ? 'powerOn' : forMs === 0 ? 'playing' : 'playingFor',
  held: listWords(held.map(controls)),
  seconds: forMs / 1_000,
})

export const atPowerOn = (held: readonly Control[]): BankHold => ({ kind: 'power-on', held, forMs: 0 })

/**
 * Every hold of a bank, a sentence each. The adapter changes banks while playing once nothing is held any more.
 *
 * @param first what is said of the first one
 */
export const bankHoldWords = (
  holds: readonly BankHold[],
  controls: ControlWords,
  first: (values: HoldValues) => string = t.first,
): string => holds.map((hold, k) => (k === 0 ? first : t.or)(holdValues(hold, controls))).join(' ')
