import { texts } from '../../words/texts.ts'

export const t = texts('cable', { stations: 'Stations' })
