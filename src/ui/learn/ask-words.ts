import { controlMask } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'
import type { StickSide } from '../../pad/hold.ts'
import type { Ask } from '../../pad/learn/controls-to-ask.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'
import { pressTexts, stickAskTexts } from './learn-texts.ts'

/** What the user is asked to do, in words and on the drawn pad. */

const isDescribed = (control: Control): control is Control & keyof typeof pressTexts => control in pressTexts

export function askWords(ask: Ask): string {
  switch (ask.kind) {
    case 'press':
      return isDescribed(ask.control) ? pressTexts[ask.control] : pressTexts.extra
    case 'push':
      return stickAskTexts.push(ask)
    case 'roll':
      return stickAskTexts.roll(ask)
  }
}

/** What an ask is about: "Face south", "Left stick up", "Left stick, its edge". */
export function askName(ask: Ask): string {
  if (ask.kind === 'press') return CONTROL_WORDS[ask.control]
  if (ask.kind === 'push') return CONTROL_WORDS[`stick-${ask.stick}-${ask.way}`]
  return stickAskTexts.edge(ask)
}

const stickControls = (stick: StickSide): readonly Control[] =>
  (['up', 'down', 'left', 'right'] as const).map((way) => `stick-${stick}-${way}` as const)

/** What is marked on the drawn pad. */
export function askMask(ask: Ask): ControlMask {
  if (ask.kind === 'press') return controlMask([ask.control])
  return controlMask(ask.kind === 'push' ? [`stick-${ask.stick}-${ask.way}`] : stickControls(ask.stick))
}
