import { texts } from '../../words/texts.ts'

export const t = texts('new-title', {
  name: 'A title of mine',
  numbered: 'A title of mine {n}',
  step: 'a title of mine',
})
