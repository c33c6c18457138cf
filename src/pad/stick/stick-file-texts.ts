import { texts } from '../../words/texts.ts'

/** What is wrong with the settings of a stick. */
export const t = texts('stick-file', {
  neverReleases: 'the hysteresis must be below the press threshold, or the stick would never release',
})
