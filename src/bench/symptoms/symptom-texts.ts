import { texts } from '../../words/texts.ts'

/** What people see without an analyser, by the words that they tell it with. */
export const symptomTexts = texts('symptoms', {
  walks: 'a direction comes by itself, with nothing held',
  fires: 'a button acts by itself, with nothing held',
  pauses: 'Start comes although it is not held',
  jumps: 'a button acts while something else is held',
  sticks: 'a direction comes or stays while something else is held',
  drops: 'what is held is released and pressed again',
  dead: 'a direction, A, B, C or Start does nothing',
  'extras-dead': 'X, Y, Z or Mode does nothing',
  nothing: 'nothing does anything at all',
  opposites: 'opposite directions at once confuse it',
  later: 'right at first, wrong after a while or now and then',
})

/** What is seen in a trial. */
export const trialTexts = texts('trials', {
  nothing: 'nothing happens',
  asHeld: { flickers: { true: 'just that happens, on and off', false: 'just that happens' } },
  comes: { n: { one: '{pressed} comes', other: '{pressed} come' } },
  flickers: {
    n: { one: '{pressed} comes, {flickering} on and off', other: '{pressed} come, {flickering} on and off' },
  },
  gone: 'it is gone',
  stays: 'still {symptoms}',
})

/** What to do, as an order within a line. */
export const actTexts = texts('acts', {
  hold: { any: { true: 'hold {inputs}', false: 'hold nothing' } },
  powerOn: 'hold {controls} at power-on',
  opposite: 'set opposite directions to pass neither',
  delay: 'set the added delay to {to}',
  idleReset: 'set the idle reset to {to}',
  flash: 'flash the profile',
  profile: 'choose the profile {name} and flash it',
})

/** What a title with a read pattern does, to go after "a title that". */
export const patternTexts = texts('read-patterns', {
  oneCycle: 'reads one cycle a frame',
  oneCycleLow: 'reads one cycle a frame and idles low',
  oneDirection: 'was made for a pad that cannot hold opposite directions',
  burst: {
    n: {
      one: 'reads {cycles} cycle in one burst and uses it',
      other: 'reads {cycles} cycles in one burst and uses each',
    },
  },
  burstLow: {
    n: {
      one: 'idles low, reads {cycles} cycle in one burst and uses it',
      other: 'idles low, reads {cycles} cycles in one burst and uses each',
    },
  },
  last: {
    n: {
      one: 'moves select through {cycles} cycle and uses it',
      other: 'moves select through {cycles} cycles and uses the last',
    },
  },
  often: {
    n: {
      one: 'reads {times} time a frame without an idle reset in between',
      other: 'reads {times} times a frame without an idle reset in between',
    },
  },
  oftenPairs: {
    n: {
      one: 'reads two cycles {times} time a frame without an idle reset in between',
      other: 'reads two cycles {times} times a frame without an idle reset in between',
    },
  },
  apart: 'reads four times a frame, {gap} apart',
  uneven: 'reads four times a frame, about {gap} apart but unevenly',
  drifts: 'reads four times a frame, and its clock drifts across the idle reset',
  soon: 'samples {after} after the edge',
  released: 'releases select, which takes {rise} to rise',
  six: 'detects six buttons',
  sixLow: 'detects six buttons and idles low',
  sixUpDown: 'detects six buttons by Up and Down alone',
  sixUp: 'detects six buttons by Up alone',
  sixLeftRight: 'detects six buttons by Left and Right alone',
  sixAssumed: 'assumes six buttons',
  sixReleased: 'detects six buttons and releases select, which takes {rise} to rise',
  sixTwice: 'detects six buttons and reads twice a frame without an idle reset in between',
})
