import { bankHoldWords } from '../../bench/plan/hold-words.ts'
import { bankHolds } from '../../profile/bank-holds.ts'
import type { Bank, Profile } from '../../profile/schema.ts'
import { controlWord } from '../../pad/control-texts.ts'

type Rules = Pick<Profile, 'powerOn' | 'bankChange'>

const ways = (rules: Rules, active: Bank, bank: Bank): string =>
  bankHolds(rules, active, bank)
    .map((hold) => bankHoldWords(hold, controlWord))
    .join(', or ')

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
  if (active?.bank === bank) return 'It is the active bank: it answers as soon as power comes on.'
  const now = active?.rules ? ways(active.rules, active.bank, bank) : ''
  if (now !== '') return `${now.charAt(0).toUpperCase()}${now.slice(1)}.`
  const none = 'No rule of the active bank leads to it: once it is flashed, make it the active one here.'
  const once = active ? ways(flashed, active.bank, bank) : ''
  return active && once !== ''
    ? `${none} With this profile in bank ${active.bank} too, ${once}.`
    : `${none} Or flash a profile with a power-on rule or a bank change to it into the active bank.`
}
