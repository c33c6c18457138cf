import { texts } from '../words/texts.ts'

/** The list of keys. */
export const t = texts('keys-list', {
  everywhere: 'Everywhere',
  onChart: 'On the phase chart, once it is unlocked',
  asPad: 'As a pad',
  padKeys: 'While nothing else has the focus: {keys}.',
  version: 'Ninepin {version}',
  licences: 'Licences of everything in it',
})

export const keyTexts = texts('keys', {
  undo: 'undo',
  redo: 'redo',
  save: 'nothing to save: every edit saves itself',
  paste: 'paste a profile or a title that was sent as text',
  help: 'this list',
  arrows: 'arrows, Home, End',
  move: 'from cell to cell',
  menu: 'the menu of a cell',
  put: 'put that input (S is Start, M is Mode)',
  levels: 'low, high',
  original: 'what a three-button pad carries there',
  leave: 'leave the cell',
})
