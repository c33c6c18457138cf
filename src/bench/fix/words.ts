import type { Control } from '../../pad/controls.ts'
import type { Chart } from '../../port/chart.ts'
import { phaseAt } from '../../port/chart.ts'
import type { Input, Level } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { cellWord, inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { ordinalWord } from '../../words/number-texts.ts'
import type { Change } from './grid.ts'

/** What is done, as an order: "Stop after the second cycle". */
export function changeWords(change: Change, profile: Profile, controls: ControlWords): string {
  switch (change.kind) {
    case 'delay':
      return change.ns === 0
        ? `Take the deliberate delay of ${profile.delayNs} ns out`
        : `Delay by ${change.ns} ns instead of ${profile.delayNs} ns`
    case 'idle-reset':
      return `Set the idle reset to ${timeWord(change.ns)} instead of ${timeWord(profile.idleResetNs)}`
    case 'opposite':
      return change.axis === 'vertical'
        ? 'Let Up with Down count as neither'
        : 'Let Left with Right count as neither'
    case 'first-cycle':
      return `Hold ${listWords(change.held.map(controls))} while power comes on, so that only the first cycle answers`
    case 'after':
      return change.after === 'stay' ? 'Stay after the last cycle' : 'Start again after the last cycle'
    case 'stop-after':
      return `Stop after the ${ordinalWord(change.cycles)} cycle`
    case 'cell': {
      const { cycle, level, pin } = change.ref
      const before = cellIn(profile.chart, cycle, level)[pin]
      const where = cycle === 'after' ? `${level} after the last cycle` : `${ordinalWord(cycle + 1)} ${level}`
      return `Put ${cellWord(change.cell)} on pin ${pin} in the ${where} instead of ${cellWord(before)}`
    }
  }
}

/** How a control is called where the sentence is said. */
export type ControlWords = (control: Control) => string

const cellIn = (chart: Chart, cycle: number | 'after', level: Level) =>
  phaseAt(chart, cycle === 'after' ? chart.cycles.length : cycle, level)

export const fixWords = (changes: readonly Change[], profile: Profile, controls: ControlWords): string =>
  listWords(
    changes.map((change, k) => {
      const words = changeWords(change, profile, controls)
      return k === 0 ? words : words.charAt(0).toLowerCase() + words.slice(1)
    }),
  )

/** What a fix takes from the player. */
export interface Cost {
  /** Inputs that the port carried and no longer does. */
  readonly lost: readonly Input[]
  /** Those of them that one of the titles reads. */
  readonly lostHere: readonly Input[]
}

/** @param titles how many titles were to be mended */
export function costWords(changes: readonly Change[], { lost, lostHere }: Cost, titles: number): string {
  const others = lost.filter((input) => !lostHere.includes(input))
  const said: string[] = []
  if (lostHere.length > 0)
    said.push(
      `${inputList(lostHere)} ${go(lostHere)} unseen in ${titles === 1 ? 'this title' : 'these titles'}`,
    )
  if (others.length > 0)
    said.push(`${inputList(others)} ${go(others)} unseen in titles that know six buttons`)
  for (const { kind } of changes) {
    if (kind === 'first-cycle') said.push('somebody has to hold it at every power-on')
    if (kind === 'opposite') said.push('both directions of that axis together do nothing')
    if (kind === 'cell') said.push('the chart is no longer that of an original pad')
  }
  return said.length === 0 ? 'costs nothing' : `costs: ${said.join('; ')}`
}

const go = (inputs: readonly Input[]): string => (inputs.length === 1 ? 'goes' : 'go')
