import { texts } from '../words/texts.ts'

/** In what two profiles differ, in a few words each. */
export const differenceTexts = texts('profile-differences', {
  name: 'the name',
  cells: { n: { one: '{n} cell', other: '{n} cells' } },
  after: 'what comes after the last cycle',
  inputs: { n: { one: '{n} mapped input', other: '{n} mapped inputs' } },
  sticks: 'the sticks',
  layers: 'the layers',
  chords: 'the chords',
  opposite: 'opposite directions',
  repeat: 'auto-repeat',
  powerOn: 'the power-on rules',
  bankChange: 'the bank changes',
  idleReset: 'the idle reset',
  delay: 'the delay',
})

/** Of saving, and of reading what was saved. */
export const storeTexts = texts('store', {
  noRoom:
    'This browser has no room left to save your work. Everything works, and saving is tried again by itself, but what is not saved is lost when this page is closed. Export what you want to keep. Free some space on this machine.',
  notSaved:
    'This browser did not save your last changes. Everything works, and saving is tried again by itself, but what is not saved is lost when this page is closed. Export what you want to keep.',
  notAllowed:
    'This browser does not let the page save anything (a private window, or storage switched off). Everything works, and saving is tried again by itself, but what is not saved is lost when this page is closed. Export what you want to keep.',
  notRead:
    'The shelf could not be read yet. What is on it is untouched. Everything works, and saving is tried again by itself, but what is not saved is lost when this page is closed. Export what you want to keep.',
  readingSlowly:
    'The shelf is still being read. What is on it is untouched, and appears here as soon as the browser answers. What you make meanwhile is added to it.',
  savingSlowly: 'The browser has not confirmed the last save yet. Leave this page open until it has.',
  damaged: 'the record is damaged',
})

/** Of files that come in. */
export const fileTexts = texts('shelf-files', {
  tooLarge: '{name}: the file has {bytes} bytes; profiles, titles and pad layouts have {most} at most.',
  noun: 'profile, title or pad layout',
  neither: 'this is neither a profile nor a title nor a pad layout',
  refused: '{name}: {why}.',
  demoNotFetched:
    'The demo could not be fetched. Everything else works; load the page again to try once more.',
  demoFileNotFetched:
    'The demo could not be fetched ({path}). Everything else works; load the page again to try once more.',
  demoIndexDamaged: 'The demo’s index is damaged. Everything else works.',
  demoDamaged: 'The demo is damaged.',
  shelfTooDeep: '{name}: this saved shelf is damaged: it is nested too deep. Nothing was changed.',
  shelfCutOff: '{name}: this saved shelf is damaged or cut off. Nothing was changed.',
  shelfNewer: '{name}: this shelf was saved by a newer Ninepin. Open it with that one. Nothing was changed.',
  shelfDamaged: '{name}: this saved shelf is damaged. Nothing was changed.',
  shelfTooLarge:
    '{name}: the file has {bytes} bytes; a saved shelf has {most} at most. Nothing was changed. Open documents of it one by one.',
  savedTooLarge:
    '{name} holds the whole shelf, but it has {bytes} bytes, and Ninepin opens {most} at most. Export the documents that you need one by one as well.',
  packNotLoaded:
    'What saves and opens whole shelves could not be loaded. Nothing was changed. Check the network; if a newer version of Ninepin was loaded in another tab, reload this page.',
  recordDamaged: 'this record of the shelf is damaged',
})
