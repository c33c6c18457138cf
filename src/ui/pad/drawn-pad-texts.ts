import { texts } from '../../words/texts.ts'

/** The drawn pad and the names of pads: what the first visit shows, too. */
export const drawnPadTexts = texts('drawn-pad', {
  keys: 'arrow keys for the D-pad; Z, X, C and A, S, D for the buttons; Q and E for the centre',
  drawn: 'Drawn pad. Keys play it: {keys}.',
  layer: 'layer {n}',
  aPad: 'a pad',
})
