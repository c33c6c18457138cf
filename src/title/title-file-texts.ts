import { texts } from '../words/texts.ts'

/** What is wrong with a title, field by field. */
export const t = texts('title-file', {
  noun: 'title',
  wholeNs: 'a whole number of ns from {min} to {max}',
  wholePpm: 'a whole number of parts per million from {min} to {max}',
  wholeCycles: 'a whole number of cycles from {min} to {max}',
  cycleNumber: 'the number of a cycle from {min} to {max}',
  minAboveMax: 'minNs ({minNs}) is above maxNs ({maxNs})',
  onePin: 'at least one pin is needed',
  pinTwice: 'a pin stands here twice',
  oneRead: 'at least one read is needed',
  oneSample: 'at least one sample is needed',
  mostReads: '{most} reads a frame at most; these are {n}',
})

/** What does not go together in it. */
export const clashTexts = texts('title-clashes', {
  overlap: 'this read begins at {startNs} ns, but the one before it can last until {endNs} ns',
  overlapByClock:
    'this read begins at {startNs} ns, but the one before it can last until {endNs} ns with a clock that is {ppm} ppm off',
  pastFrame: 'this read can last until {endNs} ns, but the next frame begins at {frameNs} ns',
  pastFrameByClock:
    'this read can last until {endNs} ns, but the next frame begins at {frameNs} ns with a clock that is {ppm} ppm off',
  lateSample:
    'a sample has to come before the next edge, which can follow after {spacingNs} ns; this is {foundNs}',
  noSuchCycle: 'there is no cycle {cycle}: a read has {most}',
  samePhase: {
    level: {
      low: '{sample} is taken in cycle {cycle} low already',
      high: '{sample} is taken in cycle {cycle} high already',
    },
  },
  waitsInVain: 'this sample waits for six buttons, but the title never looks for them',
})
