import { bankHoldWords } from '../../bench/plan/hold-words.ts'
import { bankHolds } from '../../profile/bank-holds.ts'
import type { Bank, Profile } from '../../profile/schema.ts'
import { controlWord } from '../../pad/control-texts.ts'
import { flashTexts as t } from './adapter-texts.ts'

type Rules = Pick<Profile, 'powerOn' | 'bankChange'>

/**
 * How a bank that is flashed comes to answer on the console.
 *
 * @param active the active bank and the rules that hold there, `null` where there are none
 * @param flashed the profile that is flashed, to say what it would change in the active bank
 */
export function wayWords(
  bank: Bank,
  active: { readonly bank: Bank; readonly rules: Rules | null } | null,
  flashed: Rules,
): string {
  if (active?.bank === bank) return t.isActive
  const now = active?.rules ? bankHolds(active.rules, active.bank, bank) : []
  if (now.length > 0) return bankHoldWords(now, controlWord)
  const once = active ? bankHolds(flashed, active.bank, bank) : []
  if (!active || once.length === 0) return `${t.noRule} ${t.orFlash}`
  return `${t.noRule} ${bankHoldWords(once, controlWord, (values) => t.once({ ...values, bank: active.bank }))}`
}
