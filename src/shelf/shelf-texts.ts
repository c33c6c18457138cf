import { texts } from '../words/texts.ts'

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
  recordDamaged: 'this record of the shelf is damaged',
})
