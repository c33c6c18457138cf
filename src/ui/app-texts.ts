import { texts } from '../words/texts.ts'

export const t = texts('app', {
  stations: 'Stations',
  kept: 'saved on this machine',
  keeping: 'saving …',
  unread: 'shelf not read yet',
  notKept: 'not saved',
  undo: 'Undo',
  undoOf: 'Undo {what}',
  redo: 'Redo',
  redoOf: 'Redo {what}',
  keys: 'Keys',
  keysSign: '?',
  close: 'Close',
  dismiss: 'Dismiss',

  everywhere: 'Everywhere',
  onChart: 'On the phase chart, once it is unlocked',
  asPad: 'As a pad',
  padKeys: 'While nothing else has the focus: {keys}.',
  version: 'Ninepin {version}',
  licences: 'Licences of everything in it',

  profile: 'profile',
  revision: 'revision',
  image: 'image',
  imageIs: { bytes: { one: '{bytes} byte, CRC {crc}', other: '{bytes} bytes, CRC {crc}' } },
  lastFlashed: 'last flashed',
  notYet: 'not yet',
  flashed: {
    demo: {
      true: 'rev {revision}, bank {bank}, verified (demo)',
      false: 'rev {revision}, bank {bank}, verified',
    },
  },
  bank: 'bank',
  bankNumber: { active: { true: 'bank {bank}, active', false: 'bank {bank}' } },
  notConnected: 'not connected',
  nothing: '–',
  differsIn: 'differs in {what}',
})

/** What a bank is to the open profile, in a word. */
export const bankTexts = texts('bank-states', {
  empty: 'empty',
  unreadable: 'unreadable',
  equal: 'equal',
  differs: 'differs',
})

/** One-line states for the cable. */
export const stateTexts = texts('states', {
  mapped: {
    layers: {
      0: '{mapped} mapped',
      one: '{mapped} mapped, {layers} layer',
      other: '{mapped} mapped, {layers} layers',
    },
  },
  chart: {
    then: {
      six: { n: { one: 'six buttons, one cycle', other: 'six buttons, {count} cycles' } },
      stay: { n: { one: 'one cycle, then stays', other: '{count} cycles, then stays' } },
      'start-again': { n: { one: 'one cycle, starts again', other: '{count} cycles, starts again' } },
    },
  },
  andMore: '{first} and more',
  noPad: 'no pad yet, keyboard',
  keyboard: 'keyboard',
  connecting: 'connecting',
  connected: 'connected',
  demo: 'demo',
  namedDemo: '{name} (demo)',
  adapter: '{who}, bank {bank} {state}',
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

export const importTexts = texts('import', {
  profiles: { n: { one: '{n} profile', other: '{n} profiles' } },
  titles: { n: { one: '{n} title', other: '{n} titles' } },
  layouts: { n: { one: '{n} pad layout', other: '{n} pad layouts' } },
  step: 'import of {what}',
  asLayout: {
    n: {
      one: '{what} is among the pad layouts, on the Pad.',
      other: '{what} are among the pad layouts, on the Pad.',
    },
  },
  asTitle: { n: { one: '{what} is among the titles.', other: '{what} are among the titles.' } },
  taken: { n: { one: '{what} was imported.', other: '{what} were imported.' } },
  opened: {
    n: { one: '{what} is on the shelf and open.', other: '{what} are on the shelf; {open} is open.' },
  },
  unchanged: 'Nothing was changed.',
  moreRefused: { n: { one: '{n} more file failed too.', other: '{n} more files failed too.' } },
  unreadable: '{file}: the file could not be read. A folder cannot be imported; a file may have moved.',
})
