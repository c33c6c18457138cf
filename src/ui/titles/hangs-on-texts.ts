import { texts } from '../../words/texts.ts'

/** What an undecided verdict hangs on, and the trial that settles it. */
export const t = texts('hangs-on', {
  why: { n: { one: 'What would misread', other: 'What would misread ({n})' } },
  doubt: 'If {condition}: {reason}',
  doubtAlike: 'If {condition}: in the same way.',
  more: { n: { one: '{n} more of the kind.', other: '{n} more of the kind.' } },

  trial: {
    all: { true: 'One trial decides', false: 'One trial decides {n} of {of}' },
  },
  itDoes: 'It does',
  itDoesNot: 'It does not',
  does: 'The title is taken to do what this shows, and misreads.',
  doesNot: {
    all: {
      true: 'All that would misread is ruled out: it is clean, if nothing else is wrong.',
      false: 'Rules out {n} of {of} things that would misread.',
    },
  },
  findOut: 'Find out with the adapter',
  findOutOf: 'Find out with the adapter: {title}',
  trialResult: 'result of a trial with {title}',
})
