import { texts } from '../../words/texts.ts'

/** Until the questions are loaded. */
export const t = texts('symptoms-to-come', {
  loading: 'Loading …',
  notLoaded: 'The questions could not be loaded. Check the network and open them again.',
})
