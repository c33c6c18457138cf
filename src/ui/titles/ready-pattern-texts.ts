import { texts } from '../../words/texts.ts'

export const t = texts('ready-patterns', {
  first: 'What most programs do first',
  hint: 'Replaces the steps. Undo restores them.',
})

/** By the id of the pattern. */
export const patternTexts = texts('ready-pattern-names', {
  'low-first': 'Low first, once a frame',
  'high-first': 'Three buttons, high first',
  'six-by-identification': 'Six buttons, by the identification',
  'six-by-end-mark': 'Six buttons, by the end mark',
  released: 'Low first, released select',
  polling: 'Low first, not tied to the frame',
})
