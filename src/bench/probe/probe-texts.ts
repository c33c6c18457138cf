import { texts } from '../../words/texts.ts'

/** Questions to a title, and what came of them. */
export const t = texts('probe', {
  pageOf: 'Questions about {title}.',
  flashPage:
    'Flash {image} into a bank of the adapter that can be spared: it replaces what that bank holds. Start the title with it.',
  playTo:
    'Play up to where directions and buttons act on screen. In the first cycle of a read Up to Start act as usual; later cycles carry other inputs, so things can act in odd ways, and even by themselves.',
  writeActs:
    'Hold what a line says, look at the screen, and write what acts behind the =: {inputs}, or nothing. Write ? if you are not sure.',
  modeIs: 'Mode {n}: {name}',
  notAnswers: 'not a file of answers: its first line has to be “{first}”',
  tooManyLines: 'more than {most} lines',
  otherProbe:
    'these questions were asked with another title, profile or adapter: give the same ones, and the title as it was before',
  notALine: 'expected “hold x + y = left, b”',
  notInputs: 'expected inputs ({inputs}), “nothing”, or “?” behind the =',
  noSuchMode: 'the title has no mode {n}',

  used: 'Used',
  unused: 'Not used',
  usedFor: 'Used for {inputs}',
  samples: 'Samples',
  detection: 'Six-button detection',
  by: {
    against: {
      0: {
        n: {
          one: '{n} answer says so, none says otherwise',
          other: '{n} answers say so, none says otherwise',
        },
      },
      other: {
        n: {
          one: '{n} answer says so, {against} says otherwise',
          other: '{n} answers say so, {against} say otherwise',
        },
      },
    },
  },
  byBetween: {
    against: {
      0: '{from} to {to} answers say so of each, none says otherwise',
      other: '{from} to {to} answers say so of each, up to {against} say otherwise',
    },
  },
})
