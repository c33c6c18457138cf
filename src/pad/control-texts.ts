import { texts } from '../words/texts.ts'
import type { Control } from './controls.ts'

/** What controls are called, by where they sit on a pad. */
export const CONTROL_WORDS: Readonly<Record<Control, string>> = texts('controls', {
  'face-south': 'Face south',
  'face-east': 'Face east',
  'face-west': 'Face west',
  'face-north': 'Face north',
  'shoulder-left': 'Left shoulder',
  'shoulder-right': 'Right shoulder',
  'trigger-left': 'Left trigger',
  'trigger-right': 'Right trigger',
  'centre-left': 'Centre left',
  'centre-right': 'Centre right',
  'stick-left-press': 'Left stick press',
  'stick-right-press': 'Right stick press',
  'dpad-up': 'D-pad up',
  'dpad-down': 'D-pad down',
  'dpad-left': 'D-pad left',
  'dpad-right': 'D-pad right',
  centre: 'Centre',
  'stick-left-up': 'Left stick up',
  'stick-left-down': 'Left stick down',
  'stick-left-left': 'Left stick left',
  'stick-left-right': 'Left stick right',
  'stick-right-up': 'Right stick up',
  'stick-right-down': 'Right stick down',
  'stick-right-left': 'Right stick left',
  'stick-right-right': 'Right stick right',
  'extra-1': 'Extra 1',
  'extra-2': 'Extra 2',
  'extra-3': 'Extra 3',
  'extra-4': 'Extra 4',
  'extra-5': 'Extra 5',
  'extra-6': 'Extra 6',
  'extra-7': 'Extra 7',
})

/** How a control is called where the sentence is said. */
export type ControlWords = (control: Control) => string

/** What a control is called. */
export const controlWord = (control: Control): string => CONTROL_WORDS[control]
