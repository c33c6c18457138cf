import { texts } from '../words/texts.ts'

/** What would change a verdict, shown with the figure that it depends on. */
export const t = texts('turns', {
  turn: {
    end: {
      minNs: {
        better: {
          true: '{Now} until it is {time} or more: then {then}.',
          false: '{Now} down to {time}; less is {then}.',
        },
      },
      maxNs: {
        better: {
          true: '{Now} until it is {time} or less: then {then}.',
          false: '{Now} up to {time}; more is {then}.',
        },
      },
    },
  },
  cleanIf: 'Clean if {clean}.',
  misreadIf: 'Misread if {condition}.',
  misreadIfMore: {
    n: {
      one: 'Misread if {condition}, or does one other thing.',
      other: 'Misread if {condition}, or does one of {n} other things.',
    },
  },
  along: '{from} to {until}',
})
