import { texts } from '../words/texts.ts'

/** Verdicts and findings in sentences. The title is the subject that is not named. */
export const t = texts('reasons', {
  facts: '{facts}.',
  among: {
    reads: { one: '{mode}', several: 'the {nth} read of {mode}' },
  },
  readOnly: 'the {nth} read',
  happensIn: '{reason} This happens in {where}.',
  marginIn: '{reason} The margin is that of {where}.',
  fragile: '{facts}. Marked fragile: test it on the console first.',
  anyTiming: 'Not timing-dependent',
  margin: '{margin} margin',
  resetMargin: 'Depends on the idle reset between two reads: {margin} margin',
  sampleMargin:
    'Samples {after} after the edge, and the reply, cable included, can take {slowest}: {margin} margin',
  releasedMargin:
    'Samples {after} after releasing select. The line can take {rise} to rise and the reply, cable included, {slowest} more: {margin} margin',
  provedMargin: 'At least {margin} margin: its reads can go in more ways than are followed',
  riseMargin: 'Depends on when released select rises: {margin} margin',
  idlesLow: 'idles low',
  releases: {
    release: { waits: 'releases select and waits for it to rise', 'goes-on': 'releases select' },
  },
  readsAll: 'reads every input that the profile presses',
  sixButtons: 'detects six buttons',

  tooEarly:
    'Samples {after} after the edge, but the reply, cable included, can take {slowest}: {short} too early. It reads the previous phase: {effect}.',
  atTheLimit:
    'Samples {after} after the edge, but the reply, cable included, can take {slowest}: no margin at all. It reads the previous phase: {effect}.',
  slowRise:
    'Releases select and samples {after} later, before the line has risen. It reads the low phase instead of the high one: {effect}.',
  beforeTheRise:
    'Samples {after} after releasing select, but the line can take {rise} to rise and the reply, cable included, {slowest} more: {short} too early. It reads the low phase instead of the high one: {effect}.',
  atTheRise:
    'Samples {after} after releasing select, but the line can take {rise} to rise and the reply, cable included, {slowest} more: no margin at all. It reads the low phase instead of the high one: {effect}.',
  falseSix:
    'With {inputs} held, the pad looks like a six-button pad. The title then reads extra buttons that are not there: {effect}.',
  readBack: 'Takes the level of select itself for an input, and select is {level} at that sample: {effect}.',
  opposite: 'Cannot handle {inputs} at once, and the profile passes both.',

  count: {
    carries: {
      identification: '{cause} Cycle {cycle} {level} carries the identification: {effect}.',
      'end-mark': '{cause} Cycle {cycle} {level} carries the end mark: {effect}.',
      cells: '{cause} Cycle {cycle} {level} carries {cells}: {effect}.',
    },
  },
  cellOnPin: '{cell} on pin {pin}',
  lostRises: 'Releases select too briefly, so rising edges are lost.',
  resetWithin: 'The idle reset comes in the middle of a read.',
  cycles: { n: { one: 'Reads one cycle.', other: 'Reads {count} cycles in one burst.' } },
  noResetInReads: 'Reads {count} times a frame without an idle reset in between, so the cycle count goes on.',
  noResetInPolls: 'No idle reset comes between two reads, so the cycle count goes on.',
  noResetInFrames: 'No idle reset comes between two frames, so the cycle count goes on.',

  effect: {
    effect: {
      takes: 'it takes that for {phantom}',
      misses: 'it misses {missed}',
      'takes-misses': 'it takes that for {phantom} and misses {missed}',
      sees: 'with {held} held, it sees {phantom}',
      'sees-misses': 'with {held} held, it sees {phantom} and misses {missed}',
    },
  },

  canBeWorse: '{reason} Its reads can go in more ways than are followed, so it can be worse.',
  notFollowed: 'Not decided: its reads can go in more ways than are followed.',
  notFollowedOn: {
    n: {
      one: 'Not decided: its reads can go in more ways than are followed. From power-on, the first frame is right.',
      other:
        'Not decided: its reads can go in more ways than are followed. From power-on, the first {count} frames are right.',
    },
  },
  leftOverNotFollowed:
    'Not decided: if select has moved before the first read (start-up code, a pad that is plugged in late, another bank), its reads can go in more ways than are followed. From power-on, all of them are right.',
  notProved:
    'Not decided: its reads can go in more ways than are followed one by one. Taken together they may go wrong. {reason}',
  leftOverStays:
    'If select has moved before the first read (start-up code, a pad that is plugged in late, another bank), the cycle count never comes right again. {reason}',
  leftOverUnknown:
    'Not decided: if select has moved before the first read (start-up code, a pad that is plugged in late, another bank), the cycle count is not known to come right again. {reason}',
  leftOverSettles: {
    n: {
      one: 'If select has moved before the first read, that read can go wrong; all after it are right.',
      other:
        'If select has moved before the first read, the first {count} reads can go wrong; all after them are right.',
    },
  },

  tornAxis:
    'Samples {inputs}, which it cannot handle at once, at two times within one read; a change in the {span} between is read half old, half new.',
  torn: 'Samples {inputs} more than once per read; a change in the {span} between is read half old, half new.',
  shortPress: 'A press of {input} shorter than {length} can be missed.',
  threeButtons: 'A three-button title: no pad gives it more. {reason}',
})
