import { texts } from '../words/texts.ts'

export const t = texts('app', {
  stations: 'Stations',
  saved: 'saved on this machine',
  saving: 'saving …',
  unread: 'shelf not read yet',
  notSaved: 'not saved',
  undo: 'Undo',
  undoOf: 'Undo {what}',
  redo: 'Redo',
  redoOf: 'Redo {what}',
  keys: 'Keys',
  keysSign: '?',
  close: 'Close',
  dismiss: 'Dismiss',

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

export const frameTexts = texts('frame', {
  pad: 'Pad',
  profile: 'Profile',
  adapter: 'Adapter',
  port: 'Port',
  titles: 'Titles',
  firstVisit: 'First visit',
  page: '{heading} · Ninepin',
  skip: 'Skip to content',
  alreadySaved: 'Already saved: every edit saves itself.',
  stationLost:
    'This page could not be loaded. Your work is saved. Check the network, then open the station again.',
  capturesLost: 'The sheet for captures could not be loaded. Check the network, then open the capture again.',
  keysLost: 'The list of keys could not be loaded. Check the network, then ask for it again.',
  dropHere: 'Drop a profile, a title, an image or a capture here.',
  pastedCapture: 'Pasted capture',
  pasted: 'What was pasted',
})

/** The strips above a station: a word in bold, a sentence, a button. */
export const stripTexts = texts('strips', {
  busy: {
    reason: {
      flashing: 'This tab is working with the adapter. Load the newer version when it is done.',
      learning: 'A pad is being learned in this tab. Save or discard it, then load the newer version.',
      'not-saved': 'This tab holds work that is not saved yet. Load the newer version when it is.',
    },
  },
  busyElsewhere:
    'Another tab is flashing, learning a pad, or holds work that is not saved. Finish there, then load the newer version.',
  notSaved: 'Not saved.',
  notRead: 'Shelf not read yet.',
  unreadable: 'Not readable.',
  unreadableIs: 'Something on the shelf cannot be read and is left alone.',
  showUnreadable: 'Show it',
  older: 'From an older version.',
  olderIs: 'An edit stores a document in the form of this version, which an older Ninepin cannot read.',
  saveShelf: 'Save the shelf as a file first',
  outdated: 'Updated in another tab.',
  outdatedIs: 'This tab still runs the older Ninepin. Reload it when you are ready.',
  reload: 'Reload',
  update: 'Update available.',
  updateIs: 'Your work stays as it is.',
  demo: 'Demo adapter.',
  demoIs: 'The real firmware on an emulated chip in this page. Nothing here reaches a real adapter.',
  noAdapter: 'No adapter.',
  noAdapterIs: 'Until one is connected, verdicts use the reference adapter’s timing.',
  connect: 'Connect adapter',
})

/** What becomes of the shelf, in other tabs too. */
export const shelfTexts = texts('shelf', {
  merged: '{name} was changed in another tab, too. Both changes are saved.',
  overwrote:
    '{name} was changed in another tab, too. Where both changed the same, it has this tab’s change now; Undo in the other tab gives back what it had.',
  copied:
    'What is stored under the name of {name} must stay: another tab or a newer Ninepin wrote it. Your version is saved as a copy.',
  stays: '{name} was changed in another tab at the same moment, so it was not removed.',
  changedElsewhere: '{name} was changed in another tab; this is that version now.',
  removedElsewhere: '{name} was removed in another tab.',
  otherTab: 'the other tab’s change',
  titleGone: 'this title is no longer on the shelf',
  layoutGone: 'this layout is no longer on the shelf',

  demoLost: 'The demo could not be loaded. Everything else works; load the page again to try once more.',
  clearDemo: 'clearing the demo',
  demoCleared: 'The demo is cleared away; what you changed stays. Undo restores it.',
  layOutDemo: 'laying out the demo',
  demoLaidOut: 'The Saltmarsh Lamp Museum is laid out.',

  saved: '{file} holds the whole shelf. Open it here to restore it.',
  restore: 'restoring a saved shelf',
  moreUnreadable: {
    n: {
      one: '{file}: {n} more of its entries cannot be read. It was left out.',
      other: '{file}: {n} more of its entries cannot be read. They were left out.',
    },
  },
  nothingRestored: 'Everything in {file} is on the shelf already.',
  restored: '{file}: {restored} restored, {there} there already. Undo removes them again.',
  recordRemoved: 'The record is removed.',
  recordStays: 'The record could not be removed: it has changed, or the browser did not allow it.',
  fileWorkNotLoaded:
    'What opens and saves files could not be loaded. Nothing was changed. Check the network; if a newer version of Ninepin was loaded in another tab, reload this page.',

  flashed: '{name} is in bank {bank}. Verified: all {bytes} bytes match.',
  nothingToUndo: 'Nothing to undo.',
  undone: 'Undone: {step}.',
  nothingToRedo: 'Nothing to redo.',
  redone: 'Redone: {step}.',
})
