import { listWords, rowWords } from '../words/lists.ts'
import { numberWord } from '../words/number-texts.ts'
import { SIX_BUTTON_CHART } from '../port/family.ts'
import type { Chart } from '../port/chart.ts'
import { INPUTS } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { sameJson } from '../document/same-json.ts'
import { t as appTexts, bankTexts, stateTexts as t } from './app-texts.ts'
import type { BankView, LinkState } from './adapter/adapter-link.svelte.ts'
import { shortPadName } from './pad/pad-names.ts'

/** One-line states for the cable. */

export const profileSummary = ({ mapping, layers }: Profile): string =>
  t.mapped({ mapped: INPUTS.filter((input) => mapping[input].length > 0).length, layers: layers.length })

/** "six buttons, four cycles", "one cycle, then stays", "three cycles, starts again". */
export function chartSummary({ cycles, after }: Chart): string {
  const then = sameJson(cycles, SIX_BUTTON_CHART.cycles) ? 'six' : after.kind
  return t.chart({ then, n: cycles.length, count: numberWord(cycles.length) })
}

/** "the name and 2 cells". */
export const differenceWords = (words: readonly string[]): string =>
  words.length > 3 ? t.andMore({ first: rowWords(words.slice(0, 2)) }) : listWords(words)

/** Where the presses come from. */
export function padSummary(padName: string | null, supported: boolean): string {
  if (padName !== null) return shortPadName(padName)
  return supported ? t.noPad : t.keyboard
}

/** "demo, bank 2 differs"; by what the user calls the adapter, where it has such a name: "left port, bank 2 equal". */
export function adapterSummary(
  state: LinkState,
  demo: boolean,
  bank: BankView | null,
  differences: readonly string[] | null,
  label = '',
): string {
  if (state === 'connecting') return t.connecting
  if (state === 'none') return appTexts.notConnected
  const kind = demo ? t.demo : t.connected
  const who = label === '' ? kind : demo ? t.namedDemo({ name: label }) : label
  return bank === null ? who : t.adapter({ who, bank: bank.bank, state: bankState(bank, differences) })
}

/** What a bank is to the open profile, in a word or two. */
export function bankState(bank: BankView, differences: readonly string[] | null): string {
  if (bank.content === null) return bankTexts.empty
  if (differences === null) return bankTexts.unreadable
  return differences.length === 0 ? bankTexts.equal : bankTexts.differs
}
