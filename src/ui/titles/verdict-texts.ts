import { texts } from '../../words/texts.ts'

/** How titles read a profile, in a few words. */
export const t = texts('verdicts', {
  margin: {
    kind: {
      untimed: 'not timing-dependent',
      inWrongReply: '{time} into a wrong reply',
      none: 'no margin',
      margin: '{time} margin',
      atLeast: 'at least {time} margin',
    },
  },
  clean: { timed: { true: '{time} margin.', false: 'Not timing-dependent.' } },
  tight: '{reason} It reads right, but the required margin is {required}.',
  noTitles: 'No titles yet. Add one, or open a file.',
  notJudged: '…',
})

/** What each verdict means, as what follows its name. */
export const meaningTexts = texts('verdict-meanings', {
  misread: 'sees something other than what is held',
  undecided: 'depends on something about the title that is not known yet, or was not followed to its end',
  tight: 'reads right with less than {margin} margin',
  clean: 'reads right with at least {margin} margin',
})
