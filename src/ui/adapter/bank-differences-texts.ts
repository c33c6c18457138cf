import { texts } from '../../words/texts.ts'

/** What differs between two images apart from their profiles. */
export const t = texts('bank-differences', { pads: 'the pads' })
