import { texts } from '../../words/texts.ts'

/** What is known of a title, and how; and a guess that is tried along its range. */
export const t = texts('known', {
  title: 'What is known, and how',
  asking: 'Working out what would change the verdict …',
  captures: {
    n: {
      one: 'The capture that figures were measured in',
      other: 'The captures that figures were measured in',
    },
  },
  capture: {
    begins: {
      anywhere: '{name}, {size}, SHA-256 {sha256}',
      atPowerOn: '{name}, {size}, begins at power-on, SHA-256 {sha256}',
    },
  },

  tryValues: 'Try other values',
  tryValuesOf: 'Try other values: {name}',
  slider: '{name}: try a value',
  at: '{time}: {verdict}',
  pending: '{time}',
  working: 'Judging along the range …',
  none: 'No other value fits between the other figures.',
  use: 'Use {time}',
  used: '{name} of {title} is {time} now, typed in. Undo restores the guess.',
  step: '{name} of {title}',
  scale: 'The verdict along it',
})

/** How many cycles of its reads a title uses, tried one by one. */
export const cyclesTexts = texts('known-cycles', {
  tryCycles: 'Try how many cycles it uses',
  slider: 'Cycles that it uses',
  at: {
    n: { one: 'the first cycle: {verdict}', other: 'the first {n} cycles: {verdict}' },
  },
  only: { n: { one: '{n} cycle', other: '{n} cycles' } },
  run: '{from} to {until} cycles',
  use: { n: { one: 'Use the first cycle', other: 'Use the first {n} cycles' } },
  used: {
    n: {
      one: '{title} uses its first cycle now, typed in. Undo restores the guess.',
      other: '{title} uses its first {n} cycles now, typed in. Undo restores the guess.',
    },
  },
  step: 'samples of {title}',
})
