import type { Bank } from '../../profile/schema.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import type { PlannedBank, ServedTitle, ShelfPlan, Unserved } from '../plan.ts'
import { timeWord } from '../../words/figures.ts'
import { bankHoldWords, powerOnHoldWords } from './hold-words.ts'
import type { ControlWords } from '../../pad/control-texts.ts'

/** How controls are called under the profile of a bank. */
export type BankControlWords = (bank: Bank) => ControlWords

const IN_THE_APP = 'make it the active bank in the app'

const wayWords = (way: BankHold | null, controls: ControlWords): string =>
  way === null ? IN_THE_APP : bankHoldWords(way, controls)

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`

/** A hold while playing is remembered through power-off, so whoever uses it has to be told the way back. */
const backWords = ({ bank, back }: PlannedBank, controls: BankControlWords): string =>
  `The bank stays active until you leave it. Back to bank 1: ${back === null ? 'choose it in the app' : bankHoldWords(back, controls(bank))}.`

const wayFrom = ({ ways }: PlannedBank, bank: Bank): BankHold | null =>
  ways.find(({ from }) => from === bank)?.way ?? null

/** How a bank is chosen on the console while bank 1 is the active one, in sentences. */
export function chooseWords(planned: PlannedBank, controls: BankControlWords): string {
  if (planned.bank === 1) return 'Switch the console on with nothing held.'
  const way = wayFrom(planned, 1)
  if (way === null) return `No rule has room left for a hold: ${IN_THE_APP}.`
  const words = sentence(bankHoldWords(way, controls(1)))
  return way.kind === 'power-on' ? words : `${words} ${backWords(planned, controls)}`
}

/** How the bank is kept to its first cycle, for the titles that need it; empty where none does. */
export function firstCycleWords(planned: PlannedBank, controls: BankControlWords): string {
  if (planned.firstCycle === null) return ''
  const { held, into } = planned.firstCycle
  if (held === null) return 'No control is free for this hold. Take a rule out of the profile and plan again.'
  const hold = powerOnHoldWords(held, controls(planned.bank))
  if (planned.bank === 1) return sentence(hold)
  return `${sentence(`${wayWords(into, controls(1))}, switch the console off, and ${hold}`)} ${backWords(planned, controls)}`
}

/** Where a way is another one because another bank than the first is active; empty where none is. */
export function otherWays(banks: readonly PlannedBank[], controls: BankControlWords): string[] {
  const ways = banks.flatMap((to) => {
    const usual = JSON.stringify(wayFrom(to, 1))
    return to.ways
      .filter(({ from, way }) => from !== 1 && JSON.stringify(way) !== usual)
      .map(({ from, way }) =>
        sentence(`from bank ${from} to bank ${to.bank}: ${wayWords(way, controls(from))}`),
      )
  })
  return ways.length === 0 ? [] : ['While a hold or the app has made another bank the active one:', ...ways]
}

export const usesPowerOn = (banks: readonly PlannedBank[]): boolean =>
  banks.some(
    ({ ways, firstCycle }) => firstCycle !== null || ways.some(({ way }) => way?.kind === 'power-on'),
  )

export const POWER_ON_NOTE =
  'A hold counts half a second after the pad answers. If a title has asked for six buttons by then, press reset on the console.'

/** "2 banks serve 5 of 6 titles." */
export function summaryWords({ banks, unserved }: ShelfPlan, titles: number): string {
  const some = (n: number, noun: string) => `${n} ${noun}${n === 1 ? '' : 's'}`
  if (banks.length === 0) return 'None of these profiles serves any of these titles.'
  const serve = banks.length === 1 ? 'serves' : 'serve'
  return `${some(banks.length, 'bank')} ${serve} ${titles - unserved.length} of ${some(titles, 'title')}.`
}

export const spareWords = ({ marginNs }: ServedTitle): string =>
  marginNs === null ? 'no timing can hurt' : `${timeWord(marginNs)} to spare`

/** Why a title has found no bank. */
export function unservedWords({ servedBy, closest }: Unserved, profileName: (at: number) => string): string {
  if (closest === null)
    return `No bank is left for ${servedBy.map(profileName).join(' or ')}. Leave other titles out to make room.`
  return `No profile here reads it; ${profileName(closest.candidate)} comes closest. ${closest.reason}`
}
