import { texts } from '../../words/texts.ts'

/** The form of a title. */
export const t = texts('title-form', {
  step: 'edit of {name}',
  title: 'Read pattern: {name}',
  close: 'Close',
  judged: 'Judged as you type. Every valid edit is saved.',
  judgedWith: 'Judged as you type: {margin}. Every valid edit is saved.',

  name: 'Name',
  fragile: 'Fragile',
  fragileHint: 'Known to be marginal. A clean verdict adds a reminder to test it.',
  standard: 'Video standard',
  idle: 'Select between reads',
  idles: { level: { high: 'idles high', low: 'idles low' } },
  drive: 'High level of select',
  driven: 'driven',
  released: 'released to the pull-up',
  rise: 'Rise time through the pull-up',
  capture: 'Have a capture of select? <open>Open it</open>',
  cycles: 'Cycles per read',
  offsets: 'Start of each read',
  offsetsHint: 'µs after the start of the frame, separated by commas',
  jitter: 'Read jitter',
  jitterHint: 'the most that a read can start late',
  clock: 'Console clock tolerance',
  clockHint: 'either way; about 100 for a plain crystal',
  spacing: 'From one edge to the next within a read',
  sample: 'From an edge to the sample after it',
  reads: 'Inputs read',
  opposite: 'Accepts opposite directions at once',
  oppositeHint: 'Up with Down, or Left with Right. Without this, a profile that passes both is a misread.',
  samples: 'Sample by sample ({n})',
  notes: 'Notes',

  atLeast: 'at least',
  atMost: 'at most',
  aboveMost: 'This is above “at most”.',
  belowLeast: 'This is below “at least”.',
  needed: 'Enter a number.',
  numbersNeeded: 'Enter numbers in µs, separated by commas.',
  refused: '{message}.',
  modeNameTaken: 'Another mode is called {name} already. Choose another name.',

  detection: 'Six-button detection',
  never: 'none',
  assumed: 'assumed',
  identified: 'by low pins',
  lowOfCycle: 'low phase of cycle',
  lowPins: 'low pins',
})

export const sampleTexts = texts('sample-table', {
  cycle: 'cycle',
  level: 'level',
  pin: 'pin {pin}',
  sixOnly: 'six buttons only',
  remove: 'remove',
  cycleOf: 'Sample {n}: cycle',
  levelOf: 'Sample {n}: level',
  takenFor: 'cycle {cycle} {level}: pin {pin} is taken for',
  sixOnlyOf: 'cycle {cycle} {level}: six buttons only',
  removeOf: 'Remove the sample of cycle {cycle} {level}',
  taken: {
    level: {
      high: 'A sample is taken in cycle {cycle} high already.',
      low: 'A sample is taken in cycle {cycle} low already.',
    },
  },
  add: 'Add a sample',
  full: 'Every phase has a sample',
})

export const readsTexts = texts('title-reads', {
  first: 'three buttons, from the first cycle',
  every: 'three buttons, from every cycle',
  six: 'six buttons, once detected',
  own: 'as set sample by sample',
})

export const riseTexts = texts('rise', {
  from: 'From the pull-up and the cable',
  pullUp: 'Pull-up',
  capacitance: 'Capacitance',
  threshold: 'Threshold',
  supply: 'Supply',
  asLeast: 'Use as “at least”',
  asMost: 'Use as “at most”',
  incomplete: 'Fill in all four.',
  notPositive: 'All four must be above zero.',
  neverHigh: 'A supply of {supply} V never reaches {threshold} V.',
  tooLong: '{time} is longer than a title can have. Check the figures.',
  found: '{pullUp} kΩ and {capacitance} pF: {time}',
})
