import { texts } from '../words/texts.ts'

/** How a title reads a profile. */
export const pairTexts = texts('cli-pairs', {
  pair: '{title} with {profile}',
  pairs: { n: { one: '{n} pair: {counts}.', other: '{n} pairs: {counts}.' } },
  ifRight:
    'These verdicts hold if the figures of the titles are right: {asSaid} of {all} were typed in, guessed or not recorded.',
  asCaptured: {
    things: {
      frames: {
        modes: {
          one: '{title} is known as far as it was captured: {n} frames in {modes} mode.',
          other: '{title} is known as far as it was captured: {n} frames in {modes} modes.',
        },
      },
      reads: {
        modes: {
          one: '{title} is known as far as it was captured: {n} reads in {modes} mode.',
          other: '{title} is known as far as it was captured: {n} reads in {modes} modes.',
        },
      },
    },
  },
  inFrontOf: {
    pad: {
      'three-buttons':
        'The pad in the capture replied with three buttons: if {title} reads a six-button pad in another way, that is not in it.',
      'six-buttons':
        'The pad in the capture replied with six buttons: if {title} reads a three-button pad in another way, that is not in it.',
    },
  },
  notCaptured: {
    begins: {
      anywhere: 'The capture does not show what the title does elsewhere, or whether power-on is in it.',
      atPowerOn:
        'The capture begins at power-on, as was said when it was read. It does not show what the title does elsewhere.',
    },
  },
  drives:
    'That it drives select high is a guess: where it releases select, it can sample too soon after the rise.',
  count: '{n} {verdict}',
  nothingHeld: 'nothing held',
  held: '{inputs} held',
  example: {
    frame: {
      1: {
        n: {
          one: 'Example: {held}; first frame, read {read}, cycle {cycle} {level}, {into} into the read ({after} after its edge); pin {pins}.',
          other:
            'Example: {held}; first frame, read {read}, cycle {cycle} {level}, {into} into the read ({after} after its edge); pins {pins}.',
        },
      },
      other: {
        n: {
          one: 'Example: {held}; frame {frame}, read {read}, cycle {cycle} {level}, {into} into the read ({after} after its edge); pin {pins}.',
          other:
            'Example: {held}; frame {frame}, read {read}, cycle {cycle} {level}, {into} into the read ({after} after its edge); pins {pins}.',
        },
      },
    },
  },
  misreadIf: 'Misread if {condition}: {reason}',
  misreadAlike: 'Misread if {condition}: in the same way.',
  toDecide: 'To decide: {trial}',
  byCount: '{verdict} by count: {signal} in {capture} with {profile}',
  neverRead: 'Never read by this title: {inputs}.',

  known: 'What is known of it, and how:',
  knownFigure: '{value} ({source})',

  notDrawn: 'Reads of this title can go in too many ways to draw one of them; what they meet is as told.',
  noDiagram: 'Nothing to draw, so {file} was not written.',
  diagram: '{file}: the diagram as VCD.',
  read: 'One read, {held}; frame {frame}, read {read}; {span} from left to right.',
  select: 'select',
  pin: 'pin {pin}',
  samples: 'samples',
  guilty: { n: { one: '^ at {at}: pin {pins}.', other: '^ at {at}: pins {pins}.' } },
  guiltyDue: {
    n: {
      one: '^ at {at}: pin {pins}; the reply meant for it, cable included, can be as late as {due}.',
      other: '^ at {at}: pins {pins}; the reply meant for it, cable included, can be as late as {due}.',
    },
  },
  guiltyDueShort: {
    n: {
      one: '^ at {at}: pin {pins}; the reply meant for it, cable included, can be as late as {due}, {short} short.',
      other:
        '^ at {at}: pins {pins}; the reply meant for it, cable included, can be as late as {due}, {short} short.',
    },
  },
  guiltyShort: {
    n: { one: '^ at {at}: pin {pins}, {short} short.', other: '^ at {at}: pins {pins}, {short} short.' },
  },
})

export const fixTexts = texts('cli-fix', {
  nothing: 'Nothing to fix.',
  fix: '{number}. {what}.',
  verdict: '{title} {verdict}',
  outcome: '{verdicts}; {costs}',
  outcomeLine: '{outcome}.',
  none: 'No fix found: all {tried} combinations of changes that could matter were tried.',
  noneForAll:
    'No one change suits everything that an undecided title may be: all {tried} combinations of changes that could matter were tried.',
  best: 'None of the changes tried makes all of them clean; this is the closest.',
  tried: {
    n: {
      one: 'Looking for a fix: {n} combination of changes tried. Ctrl-C ends the search.',
      other: 'Looking for a fix: {n} combinations of changes tried. Ctrl-C ends the search.',
    },
  },
  soFar: '{what}; {outcome}',
  bestSoFar: 'Best so far: {fix}. The search goes on.',
  noneSoFar: 'No fix so far. The search goes on.',
  interrupted: {
    n: {
      one: 'Interrupted after {n} combination of changes: not searched to the end, so the rest can hold a better fix.',
      other:
        'Interrupted after {n} combinations of changes: not searched to the end, so the rest can hold a better fix.',
    },
  },
  asItIs: '{file}: the profile as it is.',
  written: '{file}: the profile with fix {number}.',
})

export const planTexts = texts('cli-plan', {
  bank: 'Bank {bank}: {profile}. {choose}',
  title: '{title}, {margin}',
  titleFirstCycle: '{title}, {margin} *',
  firstCycle: '* {how}',
  written: 'Written to {file}.',
  notCovered: 'Not covered:',
  newRules: 'These profiles get new rules: write them with --out-dir DIR, and flash what is there.',
})

export const latencyTexts = texts('cli-latency', {
  head: '{input}, from the finger to {title} with {profile}; the pad reports every {ms} ms.',
  assumptions: 'Taken for granted:',
  assumption: '- {text}',
})

export const repeatTexts = texts('cli-repeat', {
  noRepeat: '{input} of {profile} has no auto-repeat; this is what {title} would read.',
  byMs: '{input} of {profile} repeats by milliseconds, which no title’s reads keep step with, so it is not judged; this is what {title} would read.',
  asked:
    '{input} of {profile} in front of {title}, reads pressed {pressed}, released {released}; held from power-on, a group a frame, a sign a sample, # pressed.',
  frame: 'frame {number}',
  grid: 'Presses a second, by reads pressed (down) and released (across):',
  allAsAsked: 'All of them are seen as asked.',
  notAsAsked: 'Not as asked: {marks}.',
  mark: '{mark} = {meaning}',
})

/** Stands behind a rate, or in its place where there is none to tell. */
export const markTexts = texts('cli-repeat-marks', {
  'other-rate': 'r',
  'other-share': 's',
  uneven: 'u',
  'same-each-frame': 'f',
  'always-pressed': 'always',
  'never-pressed': 'never',
  'by-moment': 'moment',
  'not-looked-at': 'unread',
})

export const symptomTexts = texts('cli-symptoms', {
  none: 'No known read pattern shows this with {profile}: {seen}.',
  noneThen: 'Look at the cable, at the light and at the active bank first; then watch the pad in the app.',
  causes: 'With {profile}, what you saw fits a title that',
  cause: '- {cause}',
  causeOfKind: '- {cause} (or {more} more of the kind, with other figures)',
  also: 'You would also see: {seen}.',
  lessLikely: '- or does something less likely; --json lists {more} more.',
  unexplained: 'None of these shows: {seen}.',
  trial: 'To tell them apart: {act}, and look.',
  outcome: '- {saw}: {causes}',
  andMore: '{causes}; and {more} more of them',
  noRemedy: 'No profile here takes it away. Give more with --have, or judge one of your own with check.',
  tryFirst: 'Try first: {act}. It helps with {helps} of these {n}.',
})

export const fileTexts = texts('cli-file-output', {
  uf2: '{file}: UF2 of {uf2Bytes} bytes for bank {bank}: image of {profile}, {bytes} bytes, CRC {crc}.',
  image: '{file}: image of {profile}, {bytes} bytes, CRC {crc}.',
  padsIn: 'Pads in it: {pads}.',
  pad: '{name} ({numbers})',
  profile: '{file}: {profile}. Notes are not kept in an image.',
  layout: '{file}: {name}.',
  sweepStays: 'Its late replies are not in a profile file: keep the image.',
  padsStay: 'Pads in it: {pads}; {option} writes their layouts.',
  answered: '{file}: the pins of {profile} for {changes} changes of {signal}, up to {endNs} ns.',
  shortPulses: {
    n: {
      one: '{n} pulse of {signal} is shorter than {least}, at {first}. It is left out. A pad can count it as a rising edge or miss it, so the reply after it is undecided until the next idle reset.',
      other:
        '{n} pulses of {signal} are shorter than {least}, the first at {first}. They are left out. A pad can count each as a rising edge or miss it, so the reply after each is undecided until the next idle reset.',
    },
  },
  inferred: '{file}: {title}, from the edges of {line}.',
  padInCapture: 'The pad in the capture, from its data lines:',
  finding: '{words} ({grounds})',
})

export const adapterTexts = texts('cli-adapter', {
  emulated: '{board}, {serial} (emulated chip; nothing here reaches a real adapter)',
  real: '{board}, {serial}',
  adapter: 'adapter',
  before: 'was there',
  written: 'written',
  readBack: 'read back',
  verified: 'verified',
  met: 'met',
  forgotten: 'forgotten',
  seen: 'seen',
  pad: 'pad',
  times: 'times',
  held: 'held',
  pressed: 'pressed',
  reports: 'reports',
  reads: 'reads',

  image: '{bytes} bytes, CRC {crc}',
  trial: 'trial slot',
  trialEmpty: 'trial slot: empty',
  trialImage: 'trial slot: {image}',
  trialState: {
    state: {
      empty: 'empty',
      armed: 'armed: it answers at the next session with a console',
      'in use': 'it answers now, until power goes',
      used: 'used: it has had its session',
      unlisted: 'in a state that this program does not know',
    },
  },
  trialHolds: 'holds {profile}: {image}',
  trialHoldsOther: 'holds an image that this program cannot read: {image}',
  trialForgotten: 'emptied',
  bankEmpty: 'bank {bank}: empty',
  bankImage: 'bank {bank}: {image}',
  profileImage: '{profile}: {image}',
  pads: 'pads: {pads}',
  allEqual: '{bytes} bytes: every byte matches',
  noPad: 'no pad yet; plug one into it, with the console on, and come back',
  nothingSeen: 'nothing yet; plug a pad into it, with the console on, and come back',
  isForgotten: 'the pad history and the last activity',
  padNumbers: 'vendor {vendor}, product {product}, release {release}, {via}',
  descriptorCrc: '{descriptor}, CRC {crc}',
  savedDescriptor: '{file}: report descriptor of pad {number}, {bytes} bytes, CRC {crc}.',
  since: {
    there: {
      true: 'from when it was plugged in; written down at {time}',
      false: 'from when it was plugged in; it went at {time}',
    },
  },
  nothing: 'nothing',
  lastReports: '{n}; the last that differed from the one before:',
  noBytes: 'no bytes',
  lastReads: {
    most: {
      one: '{n}, of {most} rising edge at most; the last:',
      other: '{n}, of {most} rising edges at most; the last:',
    },
  },
})

export const descriptorTexts = texts('cli-descriptor', {
  head: '{file}: {uses}; {bytes} bytes, CRC-32 {crc}.',
  noCollection: 'no collection',
  report: {
    kind: {
      input: 'input report, {bits} bits',
      output: 'output report, {bits} bits',
      feature: 'feature report, {bits} bits',
    },
  },
  numberedReport: {
    kind: {
      input: 'input report {number}, {bits} bits',
      output: 'output report {number}, {bits} bits',
      feature: 'feature report {number}, {bits} bits',
    },
  },
  odd: 'Odd: {what}.',
  oddAt: 'Odd at byte {byte}: {what}.',
  bit: 'bit {bit}',
  times: '{count} × {bits}',
  range: '{min} to {max}',
  noUsage: 'no usage',
  kind: {
    kind: { constant: 'constant', array: 'array', relative: 'relative', value: 'value' },
  },
  kindOrNull: {
    kind: {
      constant: 'constant, null',
      array: 'array, null',
      relative: 'relative, null',
      value: 'value, null',
    },
  },
  layout: '{file}: {name}. What is guessed goes by common practice; try each control before you rely on it.',
  guessed: 'guessed',
  note: 'Note: {note}.',
})

/** What questions to a title are written, and what was found by them. */
export const probeTexts = texts('cli-probe', {
  name: 'Probe {n}',
  notText: 'this is not text in UTF-8',
  line: 'line {n}',
  taken: {
    open: {
      0: {
        n: {
          one: '{n} answer taken. Nothing is left open.',
          other: '{n} answers taken. Nothing is left open.',
        },
      },
      other: {
        n: {
          one: '{n} answer taken. Still open: {open}.',
          other: '{n} answers taken. Still open: {open}.',
        },
      },
    },
  },
  against: {
    n: {
      one: '{n} answer does not go with the others. It was outweighed, and stays in the evidence.',
      other: '{n} answers do not go with the others. They were outweighed, and stay in the evidence.',
    },
  },
  judged: 'With {profile}: {verdict}. {reason}',
  written: '{file}: {title}, as it is known now.',
  allTold: 'There is nothing more to ask.',
  showsNothing:
    'Nothing was seen to act in any answer, so they tell nothing: what the title does stays open. Play up to where directions and buttons act, and answer there.',
  noMore: {
    open: {
      one: 'Nothing more can be told by probe profiles; {open} thing stays open.',
      other: 'Nothing more can be told by probe profiles; {open} things stay open.',
    },
  },
  more: {
    n: {
      one: '{n} question would tell more: give {option} for it.',
      other: '{n} questions would tell more: give {option} for them.',
    },
  },
  late: '{image}: flash it, into the trial slot where the adapter has one.\n{file}: what to hold and to count.',
  moreLate: 'How late a reply may come would tell when it samples: give {option} for it.',
  page: {
    n: {
      one: '{image}: flash it, into the trial slot where the adapter has one.\n{file}: {n} question, to be filled in.',
      other:
        '{image}: flash it, into the trial slot where the adapter has one.\n{file}: {n} questions, to be filled in.',
    },
  },
})
