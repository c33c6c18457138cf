import { listWords } from '../words/lists.ts'
import { numberWord } from '../words/number-texts.ts'
import { SIX_BUTTON_CHART } from '../port/family.ts'
import type { Chart } from '../port/chart.ts'
import { INPUTS } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { sameJson } from '../shelf/same.ts'
import type { BankView, LinkState } from './adapter/adapter-link.svelte.ts'
import { shortPadName } from './pad/pad-names.ts'

/** One-line states for the cable. */

const some = (count: number, noun: string): string => `${count} ${noun}${count === 1 ? '' : 's'}`

export function profileSummary({ mapping, layers }: Profile): string {
  const mapped = INPUTS.filter((input) => mapping[input].length > 0).length
  return [`${mapped} mapped`, layers.length > 0 && some(layers.length, 'layer')].filter(Boolean).join(', ')
}

/** "six buttons, four cycles", "one cycle, stays", "three cycles, start again". */
export function chartSummary(chart: Chart): string {
  const cycles = `${numberWord(chart.cycles.length)} ${chart.cycles.length === 1 ? 'cycle' : 'cycles'}`
  if (sameJson(chart.cycles, SIX_BUTTON_CHART.cycles)) return `six buttons, ${cycles}`
  return `${cycles}, ${chart.after.kind === 'stay' ? 'then stays' : 'starts again'}`
}

/** "the name and 2 cells". */
export const differenceWords = (words: readonly string[]): string =>
  words.length > 3 ? `${words.slice(0, 2).join(', ')} and more` : listWords(words)

/** Where the presses come from. */
export function padSummary(padName: string | null, supported: boolean): string {
  if (padName !== null) return shortPadName(padName)
  return supported ? 'no pad yet, keyboard' : 'keyboard'
}

/** "demo, bank 2 differs"; by what the user calls the adapter, where it has such a name: "left port, bank 2 equal". */
export function adapterSummary(
  state: LinkState,
  demo: boolean,
  bank: BankView | null,
  differences: readonly string[] | null,
  label = '',
): string {
  if (state === 'connecting') return 'connecting'
  if (state === 'none') return 'not connected'
  const kind = demo ? 'demo' : 'connected'
  const who = label === '' ? kind : demo ? `${label} (demo)` : label
  return bank === null ? who : `${who}, bank ${bank.bank} ${bankState(bank, differences)}`
}

/** What a bank is to the open profile, in a word or two. */
export function bankState(bank: BankView, differences: readonly string[] | null): string {
  if (bank.content === null) return 'empty'
  if (differences === null) return 'unreadable'
  return differences.length === 0 ? 'equal' : 'differs'
}
