import type { Bank } from '../../profile/schema.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import type { PlannedBank, ServedTitle, ShelfPlan, Unserved } from '../plan.ts'
import { timeWord } from '../../words/figures.ts'
import { eitherWords, listWords } from '../../words/lists.ts'
import { atPowerOn, bankHoldWords, holdValues } from './hold-words.ts'
import type { ControlWords } from '../../pad/control-texts.ts'
import { t } from './plan-texts.ts'

/** How controls are called under the profile of a bank. */
export type BankControlWords = (bank: Bank) => ControlWords

const wayValues = (way: BankHold | null, controls: ControlWords) =>
  way === null ? ({ way: 'app', held: '', seconds: 0 } as const) : holdValues(way, controls)

/** A hold while playing is remembered through power-off, so its user has to be told the way back. */
const backWords = ({ bank, back }: PlannedBank, controls: BankControlWords): string =>
  t.back(wayValues(back, controls(bank)))

const wayFrom = ({ ways }: PlannedBank, bank: Bank): BankHold | null =>
  ways.find(({ from }) => from === bank)?.way ?? null

/** How a bank is chosen on the console while bank 1 is the active one, in sentences. */
export function chooseWords(planned: PlannedBank, controls: BankControlWords): string {
  if (planned.bank === 1) return t.nothingHeld
  const way = wayFrom(planned, 1)
  if (way === null) return t.noRoom
  const words = bankHoldWords([way], controls(1))
  return way.kind === 'power-on' ? words : `${words} ${backWords(planned, controls)}`
}

/** How the bank is kept to its first cycle, for the titles that need it; empty where none does. */
export function firstCycleWords(planned: PlannedBank, controls: BankControlWords): string {
  if (planned.firstCycle === null) return ''
  const { held, into } = planned.firstCycle
  if (held === null) return t.noFirstCycle
  if (planned.bank === 1) return bankHoldWords([atPowerOn(held)], controls(1))
  const then = listWords(held.map(controls(planned.bank)))
  return `${t.firstCycle({ ...wayValues(into, controls(1)), then })} ${backWords(planned, controls)}`
}

/** Where a way is another one because another bank than the first is active; empty where none is. */
export function otherWays(banks: readonly PlannedBank[], controls: BankControlWords): string[] {
  const ways = banks.flatMap((to) => {
    const usual = JSON.stringify(wayFrom(to, 1))
    return to.ways
      .filter(({ from, way }) => from !== 1 && JSON.stringify(way) !== usual)
      .map(({ from, way }) => t.other({ ...wayValues(way, controls(from)), from, to: to.bank }))
  })
  return ways.length === 0 ? [] : [t.others, ...ways]
}

export const usesPowerOn = (banks: readonly PlannedBank[]): boolean =>
  banks.some(
    ({ ways, firstCycle }) => firstCycle !== null || ways.some(({ way }) => way?.kind === 'power-on'),
  )

export const powerOnNote = (): string => t.powerOnNote

/** "2 banks cover 5 of 6 titles." */
export const summaryWords = ({ banks, unserved }: ShelfPlan, titles: number): string =>
  banks.length === 0
    ? t.coversNone
    : t.covers({ banks: banks.length, covered: titles - unserved.length, titles })

export const spareWords = ({ marginNs }: ServedTitle): string =>
  marginNs === null ? t.anyTiming : t.margin({ time: timeWord(marginNs) })

/** Why a title has found no bank. */
export const unservedWords = (
  { servedBy, closest }: Unserved,
  profileName: (at: number) => string,
): string =>
  closest === null
    ? t.noBank({ profiles: eitherWords(servedBy.map(profileName)) })
    : t.closest({ profile: profileName(closest.candidate), reason: closest.reason })
