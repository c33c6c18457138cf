import { texts } from '../../words/texts.ts'

/** In what an image differs beside its profile. */
export const t = texts('bank-differences', { pads: 'the pads' })
