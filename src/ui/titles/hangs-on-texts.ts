import { texts } from '../../words/texts.ts'

/** What an undecided verdict hangs on, and the trial that settles it. */
export const t = texts('hangs-on', {
  misreadIf: 'Also misread if {condition}: {reason}',
  toDecide: 'To decide: {trial}',
  itDoes: 'It does',
  itDoesNot: 'It does not',
  trialResult: 'result of a trial with {title}',
})
