import { texts } from '../words/texts.ts'

/** What is wrong with a title, field by field. */
export const t = texts('title-file', {
  noun: 'title',
  wholeNs: 'a whole number of ns from {min} to {max}',
  time: 'a time from {min} to {max}, in steps of {step}',
  wholePpm: 'a whole number of parts per million from {min} to {max}',
  wholeCycles: 'a whole number of cycles from {min} to {max}',
  cycleNumber: 'the number of a cycle from {min} to {max}',
  minAboveMax: 'minNs ({minNs}) is above maxNs ({maxNs})',
  onePin: 'at least one pin is needed',
  pinTwice: 'a pin stands here twice',
  oneRead: 'at least one read is needed',
  oneSample: 'at least one sample is needed',
  hash: 'a SHA-256 in 64 hexadecimal digits is needed',
  seenAboveAll: 'seen ({seen}) is above of ({of})',
  sampleName: 'a name of small letters, digits and hyphens is needed, 24 at most',
  taken: 'a pin is taken for an input ({inputs}), or for an input with ifAgrees, the name of a sample',
  step: 'a step has select, sample or repeat, each with its own fields',
  oneEdge: 'at least one edge is needed',
  edgesAscend: 'edges begin at 0 and ascend, each once',
  oneStep: 'at least one step is needed',
  mostSteps: 'a read has {most} steps at most',
  lowAndHigh: 'a pin cannot be low and high at once',
  oneCondition: 'at least one condition is needed',
  oneMode: 'at least one mode is needed',
  mostModes: '{most} modes at most',
  mostReads: '{most} reads a frame at most; these are {n}',
})

/** What does not go together in it. */
export const clashTexts = texts('title-clashes', {
  mostSteps: 'a read has {most} steps at most, with its repeats written out',
  tooLong: 'with all frames until all comes again the title has more than {most} edges and samples',
  mixedStarts:
    'the reads of one mode are all tied to the frame, or none of them is: this needs a mode of its own',
  tooOften: 'from one read to the next at least {least} pass',
  noSuchCapture: 'the title lists no capture of this hash',
  tooLarge: 'written out, the title has more than {most} bytes',
  noSuchFrame: 'frame {inFrame} does not exist: {everyFrames} frames count from 0',
  offsetsAscend: 'offsets are in ascending order, each once',
  afterFrame: 'this read begins at {offset}, but a frame has {frame}',
  tooManyFrames: 'the reads of the mode come again together only after {frames} frames; {most} at most',
  onceIsFirst: 'only the first mode, the one at power-on, can come once',
  onceAlone: 'a mode that comes once needs another one to follow it',
  conditionFirst:
    'a step at the very start of a read cannot hang on what is believed: give it a time after the start, or let it come always',
  neverSix:
    'nothing can have told six buttons by this step, so it never comes: let a sample before it tell them, or let it come always',
  neverThree: 'six buttons are assumed, so this step never comes: leave it out',
  edgesTooClose: 'edges are at least {least} apart; this one can follow after {found}',
  edgeIsGone:
    'a step before this one has no exact time after the edge, so count from that step: leave since out',
  sampleBeforeStep:
    'this sample can come at {found}, before the one before it, which can take until {latest}',
  stepBeforeSample:
    'this step can come at {found}, before the sample before it, which can take until {latest}',
  noRise: 'select is let go, but the title has no rise: say how long it takes',
  waitsForNothing: 'only a line that is let go can be waited for',
  namedInRepeat: 'a sample in a repeat comes more than once, so it has no name',
  nameTwice: 'another sample of this read is called {name} already',
  noSuchSample: 'no sample is called {name}: give one that name',
  tooManyTogether:
    'samples that have to agree may be taken for more than {most} combinations of things: leave some out',
  takesNothing: 'a sample that nothing refers to has to take a pin for an input',
  waitsInVain:
    'this sample waits for six buttons, but nothing tells them in this read: let one of its samples tell them, or let it count always',
  waitsTooSoon:
    'this sample waits for six buttons, but its mode comes once, and nothing tells them there by the end of this read: let a sample tell them, or let it count always',
  overlap: 'this read begins at {start}, but the one before it can last until {end}',
  overlapByClock:
    'this read begins at {start}, but the one before it can last until {end} with a clock that is {ppm} ppm off',
  pastFrame: 'this read can last until {end}, but the next one begins at {frame}',
  pastFrameByClock:
    'this read can last until {end}, but the next one begins at {frame} with a clock that is {ppm} ppm off',
})

/** The same of the short way to say a title. */
export const shortClashTexts = texts('short-title-clashes', {
  overlap: 'this read begins at {start}, but the one before it can last until {end}',
  overlapByClock:
    'this read begins at {start}, but the one before it can last until {end} with a clock that is {ppm} ppm off',
  pastFrame: 'this read can last until {end}, but the next frame begins at {frame}',
  pastFrameByClock:
    'this read can last until {end}, but the next frame begins at {frame} with a clock that is {ppm} ppm off',
  lateSample: 'a sample has to come before the next edge, which can follow after {spacing}; this is {found}',
  noSuchCycle: 'there is no cycle {cycle}: a read has {most}',
  samePhase: {
    level: {
      low: '{sample} is taken in cycle {cycle} low already',
      high: '{sample} is taken in cycle {cycle} high already',
    },
  },
  waitsInVain: 'this sample waits for six buttons, but the title never looks for them',
})
