import { controlMask } from '../../pad/controls.ts'
import type { Control, ControlMask } from '../../pad/controls.ts'
import type { Ask, StickSide } from '../../pad/learn/controls-to-ask.ts'
import { CONTROL_WORDS } from '../../pad/control-texts.ts'

/** What the user is asked to do, in words and on the drawn pad. */

const EXTRA = 'Press a button that was not asked for yet: on the back, beside the cross, wherever.'

const PRESS: Readonly<Partial<Record<Control, string>>> = {
  'face-south': 'Press the lowest of the four buttons on the right.',
  'face-east': 'Press the rightmost of the four buttons on the right.',
  'face-west': 'Press the leftmost of the four buttons on the right.',
  'face-north': 'Press the highest of the four buttons on the right.',
  'shoulder-left': 'Press the upper of the buttons on the left shoulder.',
  'shoulder-right': 'Press the upper of the buttons on the right shoulder.',
  'trigger-left': 'Pull the left trigger, all the way: the lower one on the shoulder.',
  'trigger-right': 'Pull the right trigger, all the way: the lower one on the shoulder.',
  'centre-left': 'Press the small button left of the middle.',
  'centre-right': 'Press the small button right of the middle: the one that starts.',
  'stick-left-press': 'Press the left stick in, straight down.',
  'stick-right-press': 'Press the right stick in, straight down.',
  'dpad-up': 'Press up on the cross.',
  'dpad-down': 'Press down on the cross.',
  'dpad-left': 'Press left on the cross.',
  'dpad-right': 'Press right on the cross.',
  centre: 'Press the button in the very middle, if there is one.',
}

export function askWords(ask: Ask): string {
  switch (ask.kind) {
    case 'press':
      return PRESS[ask.control] ?? EXTRA
    case 'push':
      return `Push the ${ask.stick} stick ${ask.way === 'up' ? 'up' : 'to the right'}, all the way, and let it spring back.`
    case 'roll':
      return `Roll the ${ask.stick} stick round its edge, three times, and let it spring back.`
  }
}

/** What an ask is about: "Face south", "Left stick up", "Left stick, its edge". */
export function askName(ask: Ask): string {
  if (ask.kind === 'press') return CONTROL_WORDS[ask.control]
  if (ask.kind === 'push') return CONTROL_WORDS[`stick-${ask.stick}-${ask.way}`]
  return `${ask.stick === 'left' ? 'Left' : 'Right'} stick, its edge`
}

const stickControls = (stick: StickSide): readonly Control[] =>
  (['up', 'down', 'left', 'right'] as const).map((way) => `stick-${stick}-${way}` as const)

/** What is marked on the drawn pad. */
export function askMask(ask: Ask): ControlMask {
  if (ask.kind === 'press') return controlMask([ask.control])
  return controlMask(ask.kind === 'push' ? [`stick-${ask.stick}-${ask.way}`] : stickControls(ask.stick))
}
