import { texts } from '../words/texts.ts'

/** What is wrong with a profile. */
export const t = texts('profile-file', {
  noun: 'profile',
  wholeReads: 'a whole number from {min} to {max} reads',
  wholeMs: 'a whole number from {min} to {max} ms',
  wholeNs: 'a whole number from {min} to {max} ns',
  mostLayers: '{most} layers at most; these are {n}',
  mostChords: '{most} chords at most; these are {n}',
  mostPowerOnRules: '{most} power-on rules at most; these are {n}',
  mostBankChanges: '{most} bank changes at most; these are {n}',
  oneCycle: 'at least one cycle is needed',
  tooManyCycles: {
    n: {
      one: '{n} cycle; with {after} the adapter holds {most} at most',
      other: '{n} cycles; with {after} the adapter holds {most} at most',
    },
  },
  oneControl: 'at least one control is needed',
  twoControls: 'a chord needs at least two controls',
  oneInput: 'at least one input is needed',
  sweepWithDelay: 'late replies and a deliberate delay do not go together',
  sweepPhases: 'late replies need phases of this chart, each once',
  sweepRoom: {
    most: {
      one: 'with so many rows, {most} phase at most can be late',
      other: 'with so many rows, {most} phases at most can be late',
    },
  },
  sweepTimes: 'late replies are late by {min} to {max} ns, in steps of {step} ns, with 255 steps at most',
  sweepPulses: 'a step is pressed and released for {min} to {max} ms each, in tens',
  delay: 'the adapter delays by a multiple of {step} ns, {most} at most; this is {found}',
})

/** What is wrong with an image. */
export const imageTexts = texts('image-file', {
  tooLong: 'the file has {bytes} bytes; an image has {most} at most',
  cutOff: 'the image is cut off',
  cutOffAt: 'the image is cut off: it says it has {bytes} bytes',
  noImage: 'this is not a profile image: it does not begin with N9PI',
  version: 'the image has version {version}; this Ninepin reads versions {oldest} to {newest}',
  family: 'port family {family} is not known',
  behindEnd: 'there is something behind the end of the image',
  crc: 'the CRC does not match: the image is damaged',
  countsTooHigh: 'the counts ask for more than the image holds',
  countsTooLow: 'there is more in the image than its counts say',
  notZero: 'this byte must be zero',
  tooHigh: '{what} is {found}; {most} at most',
  noSuchNamedInput: 'an input is named that does not exist',
  noSuchRepeatedInput: 'a repeat in ms is named for an input that does not exist',
  nameNotUtf8: 'the name is not UTF-8',
  cell: 'pin {pin} carries a code that does not exist',
  holdTooLong: 'the time to hold is {found} ms; {most} at most',
  bank0: 'there is no bank 0',
  msWithoutRepeat: '{input} counts ms but has no repeat',
  halfRepeat: {
    half: {
      pressedMs: 'the repeat of {input} lacks its pressed ms',
      releasedMs: 'the repeat of {input} lacks its released ms',
      pressedReads: 'the repeat of {input} lacks its pressed reads',
      releasedReads: 'the repeat of {input} lacks its released reads',
    },
  },
  stickNumber: 'this stick’s {name} is {found}; from its settings follows {due}',
  sweepMissing: 'version 3 needs late replies',
  chordTooLong: 'the time of the chord is {found} ms; {most} at most',
  tooManyExtractors: 'the pads have {found} extractors in all; {most} at most',
  noControl: 'there is no control {found}',
  noCross: 'there is no cross {found}',
  noAxis: 'there is no axis {found}',
  hatPositions: 'a hat has 4 or 8 positions; this one has {found}',
  noExtractor: 'there is no kind {found} of extractor',
})

/** What a number in an image is. */
export const imageNumberTexts = texts('image-numbers', {
  after: 'the code for after the last cycle',
  cycles: 'the number of cycles',
  opposite: 'the code for opposite directions',
  pads: 'the number of pads',
  layers: 'the number of layers',
  powerOnRules: 'the number of power-on rules',
  bankChanges: 'the number of bank changes',
  chords: 'the number of chords',
  sweeps: 'the number of sweeps',
  layerKind: 'the kind of the layer',
  bank: 'the bank',
  bankCode: 'the code of the bank',
  gate: 'the code of the gate',
  nameBytes: 'the length of the name in bytes',
  extractors: 'the number of extractors',
  oneDescriptor: 'the code for one report descriptor only',
  via: 'the code of the way to the pad',
})

/** Why the layout of a pad does not go into an image. */
export const leftOutTexts = texts('layouts-left-out', {
  browserOnly: '{pad} is known to the browser only: learn the pad itself, or plug it into the adapter once',
  pads: '{pad} finds no room: a bank holds {most} pads',
  controls: '{pad} finds no room: the pads of a bank have {most} controls in all',
})
