import { texts } from '../words/texts.ts'

/** Of files that come in, and where what they held is now. */
export const t = texts('import', {
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
