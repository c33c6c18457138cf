import { texts } from '../words/texts.ts'

/** Of files that come in. */
export const fileTexts = texts('shelf-files', {
  tooLarge: '{name}: the file has {bytes} bytes; profiles, titles and pad layouts have {most} at most.',
  noun: 'profile, title or pad layout',
  neither: 'this is neither a profile nor a title nor a pad layout',
  lateReplies:
    'this is a probe with late replies, which no profile holds; flash the file as it is, with ninepin flash and --trial',
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
})
