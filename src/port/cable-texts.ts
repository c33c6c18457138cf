import { texts } from '../words/texts.ts'

/** What joins adapter and console, in plain words. */
export const cableTexts = texts('cables', {
  short: 'short plug',
  long: '1.5 m cable',
  unknown: 'not known',
})
