import { texts } from './texts.ts'

/** How a title reads a profile, in a word. */
export const outcomeTexts = texts('outcomes', {
  clean: 'clean',
  tight: 'tight',
  undecided: 'undecided',
  misread: 'misread',
})
