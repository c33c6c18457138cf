import type { Chart } from '../../port/chart.ts'
import { phaseAt } from '../../port/chart.ts'
import type { Input, Level } from '../../port/pins.ts'
import type { Profile } from '../../profile/schema.ts'
import { cellWord, inputList } from '../../port/input-texts.ts'
import type { ControlWords } from '../../pad/control-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { ordinalWord } from '../../words/number-texts.ts'
import { clauseWords } from '../../words/sentence-texts.ts'
import { changeTexts as t, tradeOffTexts } from './fix-texts.ts'
import type { Change } from './grid.ts'

/** What is done, as an order within a line: "stop after the second cycle". */
export function changeWords(change: Change, profile: Profile, controls: ControlWords): string {
  switch (change.kind) {
    case 'delay': {
      const now = timeWord(profile.delayNs)
      return change.ns === 0 ? t.removeDelay({ now }) : t.delay({ to: timeWord(change.ns), now })
    }
    case 'idle-reset':
      return t.idleReset({ to: timeWord(change.ns), now: timeWord(profile.idleResetNs) })
    case 'opposite':
      return t.opposite(change)
    case 'first-cycle':
      return t.firstCycle({ controls: listWords(change.held.map(controls)) })
    case 'after':
      return t.after(change)
    case 'stop-after':
      return t.stopAfter({ nth: ordinalWord(change.cycles) })
    case 'cell': {
      const { cycle, level, pin } = change.ref
      const before = cellWord(cellIn(profile.chart, cycle, level)[pin])
      const values = { cell: cellWord(change.cell), pin, level: cellWord(level), before }
      return cycle === 'after' ? t.cellAfter(values) : t.cell({ ...values, cycle: cycle + 1 })
    }
  }
}

const cellIn = (chart: Chart, cycle: number | 'after', level: Level) =>
  phaseAt(chart, cycle === 'after' ? chart.cycles.length : cycle, level)

export const fixWords = (changes: readonly Change[], profile: Profile, controls: ControlWords): string =>
  listWords(changes.map((change) => changeWords(change, profile, controls)))

/** What a fix takes from the player. */
export interface Cost {
  /** Inputs that the port carried and no longer does. */
  readonly lost: readonly Input[]
  /** Those of them that one of the titles reads. */
  readonly lostHere: readonly Input[]
}

/** @param titles how many titles were to be fixed */
export function costWords(changes: readonly Change[], { lost, lostHere }: Cost, titles: number): string {
  const others = lost.filter((input) => !lostHere.includes(input))
  const said: string[] = []
  if (lostHere.length > 0) said.push(tradeOffTexts.lostHere({ titles, inputs: inputList(lostHere) }))
  if (others.length > 0) said.push(tradeOffTexts.lost({ inputs: inputList(others) }))
  for (const change of changes) {
    if (change.kind === 'first-cycle') said.push(tradeOffTexts.hold)
    if (change.kind === 'opposite') said.push(tradeOffTexts.opposite(change))
    if (change.kind === 'cell') said.push(tradeOffTexts.cell)
  }
  return said.length === 0
    ? tradeOffTexts.none
    : tradeOffTexts.are({ n: said.length, all: clauseWords(said) })
}
