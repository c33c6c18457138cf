import { texts } from '../../words/texts.ts'

/** Questions to a title, and what came of them. */
export const t = texts('probe', {
  pageOf: 'Questions about {title}.',
  flashPage:
    'Flash {image} into the trial slot of the adapter, where it has one; otherwise into a bank that can be spared, of which it replaces what is there. Start the title with it.',
  playTo:
    'Play up to where directions and buttons act on screen. In the first cycle of a read Up to Start act as usual; later cycles carry other inputs, so things can act in odd ways, and even by themselves.',
  writeActs:
    'Hold what a line says, look at the screen, and write what acts behind the =: {inputs}, or nothing. Write ? if you are not sure.',
  holdToCount:
    'Play up to where {input} acts on screen. Hold {input} for {steps} seconds: by itself it is pressed for half a second and released for half a second, again and again. Each press comes later than the one before, until the title samples too soon for it.',
  countTwice:
    'Count the presses that act from beginning to end ({throughout}), and those that act at all, flickering ones among them ({atAll}). Let go, hold once more, and count again. Write ? if you are not sure.',
  cutOff: 'The next edge comes so soon that replies cannot be later: the last press may still act.',
  otherLate:
    'these counts are of another title, profile or adapter: give the same ones, the title as it was before, and the files in the order in which they were written',
  notACount: 'expected a count, such as “{line} = 7”, or “?” behind the =',
  tooManySteps: 'there are {steps} presses; no count is higher',
  neverActs: 'it has to act in the first presses for its counts to tell something; this tells nothing',
  countsDiffer: 'these counts do not go with one another or with what was known: count again',
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
