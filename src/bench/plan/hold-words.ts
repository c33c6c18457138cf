import type { Control } from '../../pad/controls.ts'
import type { ControlWords } from '../../pad/control-texts.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import { listWords } from '../../words/lists.ts'

/** "hold Face south and Centre left". */
export const holdWords = (held: readonly Control[], controls: ControlWords): string =>
  `hold ${listWords(held.map(controls))}`

export const powerOnHoldWords = (held: readonly Control[], controls: ControlWords): string =>
  `${holdWords(held, controls)} while power comes on`

/** What to do for a bank, as a part of a sentence. The adapter changes banks while playing once nothing is held any more. */
export function bankHoldWords({ kind, held, forMs }: BankHold, controls: ControlWords): string {
  if (kind === 'power-on') return powerOnHoldWords(held, controls)
  const forWords = forMs === 0 ? '' : ` for ${forMs / 1_000} s`
  return `${holdWords(held, controls)}${forWords} while playing, then let go`
}
