import type { Control } from '../../pad/controls.ts'
import { inputList } from '../../port/input-texts.ts'
import { timeWord } from '../../words/figures.ts'
import { listWords } from '../../words/lists.ts'
import { actTexts as t } from './symptom-texts.ts'
import type { Setting, TrialAct } from './trials.ts'

/** What a setting changes, as an order within a line: "set the idle reset to 1.10 ms". */
export const settingWords = (setting: Setting): string => listWords(settingOrders(setting))

const settingOrders = ({ opposite, delayNs, idleResetNs }: Setting): string[] => [
  ...(opposite ? [t.opposite] : []),
  ...(delayNs === undefined ? [] : [t.delay({ to: timeWord(delayNs) })]),
  ...(idleResetNs === undefined ? [] : [t.idleReset({ to: timeWord(idleResetNs) })]),
]

/** What to do, as an order within a line: "hold Up". @param controlWord how a control is called where it is said */
export function actWords(act: TrialAct, controlWord: (control: Control) => string): string {
  switch (act.kind) {
    case 'hold':
      return t.hold({ any: act.held.length > 0, inputs: inputList(act.held) })
    case 'power-on':
      return t.powerOn({ controls: listWords(act.held.map(controlWord)) })
    case 'setting':
      return listWords([...settingOrders(act.set), t.flash])
    case 'profile':
      return t.profile(act)
  }
}
