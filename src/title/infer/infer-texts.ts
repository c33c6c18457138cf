import { texts } from '../../words/texts.ts'

/** What a finding is about. */
export const labelTexts = texts('infer-labels', {
  rest: 'Idle level',
  untied: 'Reads are tied to',
  'cycles-per-read': 'Cycles per read',
  'edge-spacing': 'Edge spacing',
  'read-kinds': 'Kinds of read',
  gaps: 'Between reads',
  'frame-rate': 'Frame rate',
  standard: 'Video standard',
  'reads-per-frame': 'Reads per frame',
  'read-offsets': 'Reads begin at',
  'read-jitter': 'Read jitter',
  'clock-tolerance': 'Clock tolerance',
  sample: 'Sample after edge',
  'six-buttons': 'Six buttons',
  samples: 'Samples',
  drive: 'Select high is',
  mode: 'Mode',
  'other-reads': 'Other reads',
  'left-over': 'Left over',
  'skipped-frames': 'Skipped frames',
  'uneven-frames': 'Uneven frames',
  strays: 'Stray reads',
  'cut-reads': 'Cut reads',
  'broken-reads': 'Broken reads',
  glitches: 'Short pulses',
  unknown: 'Unknown level',
  undriven: 'Not driven',
  sampled: 'Sampled',
  'cut-off': 'Not read',
})

/** What was found, without its label. */
export const t = texts('infer', {
  range: '{min} to {max}',
  unclearGaps:
    '{range}; the shortest is hardly longer than a phase, so two reads can have been taken for one',
  driven: 'driven',
  restsLow: 'low; a line that is captured inverted looks the same',
  untied: 'no frame; a read comes {range} after the one before it',
  sample:
    '{range}; edges show only that it comes before the next edge, and code needs about 1 µs after its write',
  frameRate: { every: { 1: '{rate}', other: '{rate}, read every {every} frames' } },
  standard: {
    off: {
      none: '{standard}, 0 ppm off',
      slow: '{standard}, {ppm} ppm slow',
      fast: '{standard}, {ppm} ppm fast',
    },
  },
  nearest: {
    off: {
      none: 'neither; {standard} is nearest, 0 ppm off',
      slow: 'neither; {standard} is nearest, {ppm} ppm slow',
      fast: 'neither; {standard} is nearest, {ppm} ppm fast',
    },
  },
  readOffsets: '{offsets}, from the first read of the frame; where the frame itself begins does not show',
  jitter: 'up to {seen}',
  jitterCut: 'up to {seen}; the title has {taken}, because its reads would overlap otherwise',
  clockTolerance: '{ppm} ppm; crystals are off by about 100, and this one by what was seen',
  samples: 'three buttons in the first cycle; edges do not show which samples are used',
  noSix: 'never; the read is too short to reach them',
  six: 'never, because edges do not show it; but the read has the shape: identification in cycle {identified} low, extra buttons in cycle {extra} high',
  mode: 'Mode {n}',
  atStart: 'At start',
  labelInMode: '{label}, mode {n}',
  seenMode: {
    things: {
      frames: { n: { one: '{n} frame, at {first}', other: '{n} frames, the first at {first}' } },
      reads: { n: { one: '{n} read, at {first}', other: '{n} reads, the first at {first}' } },
    },
  },
  readKind: {
    n: {
      one: {
        cycles: {
          one: 'read {reads} of the frame has {cycles} cycle, its edges {spacing} apart',
          other: 'read {reads} of the frame has {cycles} cycles, its edges {spacing} apart',
        },
      },
      other: {
        cycles: {
          one: 'reads {reads} of the frame have {cycles} cycle, their edges {spacing} apart',
          other: 'reads {reads} of the frame have {cycles} cycles, their edges {spacing} apart',
        },
      },
    },
  },
  otherReads: {
    n: {
      one: {
        cycles: {
          one: '{n} read of {cycles} cycle, the first at {first}',
          other: '{n} read of {cycles} cycles, the first at {first}',
        },
      },
      other: {
        cycles: {
          one: '{n} reads of {cycles} cycle, the first at {first}',
          other: '{n} reads of {cycles} cycles, the first at {first}',
        },
      },
    },
  },
  leftOver: {
    n: {
      one: '{n} stretch with edges that are not in this pattern, at {first}; the title keeps it, and it is judged edge by edge',
      other:
        '{n} stretches with edges that are not in this pattern, the first at {first}; the title keeps them, and they are judged edge by edge',
    },
  },
  skippedFrames: {
    n: {
      one: '{n} frame without a read, the first at {first}',
      other: '{n} frames without a read, the first at {first}',
    },
  },
  unevenFrames: {
    n: {
      one: '{n} frame with more or fewer reads, the first at {first}',
      other: '{n} frames with more or fewer reads, the first at {first}',
    },
  },
  strays: {
    n: {
      one: '{n} read out of place by more than a title file can hold; left out',
      other: '{n} reads out of place by more than a title file can hold; left out',
    },
  },
  cutReads: {
    where: {
      both: 'the capture begins and ends in the middle of a read; what is cut is left out',
      start: 'the capture begins in the middle of a read; what is cut is left out',
      end: 'the capture ends in the middle of a read; what is cut is left out',
    },
  },
  brokenReads: {
    n: {
      one: '{n} read with an unknown level or no return to the idle level, the first at {first}; left out',
      other: '{n} reads with an unknown level or no return to the idle level, the first at {first}; left out',
    },
  },
  glitches: {
    n: {
      one: '{n} pulse shorter than {least}, at {first}: no program makes it, but a pad can count it; it is left over and judged as an edge',
      other:
        '{n} pulses shorter than {least}, the first at {first}: no program makes them, but a pad can count them; they are left over and judged as edges',
    },
  },
  unknown: {
    n: {
      one: '{n} time, the first at {first}; the reads affected are left out',
      other: '{n} times, the first at {first}; the reads affected are left out',
    },
  },
  undriven: {
    n: {
      one: '{n} time, the first at {first}; taken as high, because the line is pulled up',
      other: '{n} times, the first at {first}; taken as high, because the line is pulled up',
    },
  },
  sampled: {
    hides: {
      none: 'every {time}; edges are known to within that time',
      edges:
        'every {time}; edges are known to within that time, and a title can have moved select twice between two samples: capture at 4 MHz or more',
    },
  },
  cutOff: 'what comes after {time}, because no more is kept',

  sure: 'sure',
  likely: 'likely',
  guess: 'guess',
  grounds: {
    things: {
      frames: {
        of: { one: '{sureness}, {seen} of {of} frame', other: '{sureness}, {seen} of {of} frames' },
      },
      reads: { of: { one: '{sureness}, {seen} of {of} read', other: '{sureness}, {seen} of {of} reads' } },
      phases: {
        of: { one: '{sureness}, {seen} of {of} phase', other: '{sureness}, {seen} of {of} phases' },
      },
    },
  },
  line: '{label}: {words} ({grounds})',
  noName: 'Inferred title',
  lineOfFile: '{line} in {file}',
  inferredFrom: 'Inferred from the edges of {source}.',
})

/** Why no title came out, and what to do. */
export const faultTexts = texts('infer-faults', {
  empty: 'The capture has nothing about this line. Capture again while a title reads the port.',
  neverKnown:
    'The level of this line is unknown all the time. Check the probe and its threshold, and capture again.',
  constant: {
    level: {
      low: 'This line is low all the time. Capture while a title reads the port, or choose another line.',
      high: 'This line is high all the time. Capture while a title reads the port, or choose another line.',
    },
  },
  clock:
    'This looks like a clock of {rate}, not a select line: its edges are steady and it is never idle. Choose another line of the capture, or check the probe.',
  neverRests:
    'This line is never idle, as a select line is between reads. Choose another line of the capture, or check the probe.',
  irregular:
    'This looks like a data line, not a select line: no read repeats from frame to frame. Choose another line of the capture, or check the probe.',
  tooShort: {
    frames: {
      one: '{frames} frame cannot show what repeats; three are needed, and a second or more is better. Capture for longer.',
      other:
        '{frames} frames cannot show what repeats; three are needed, and a second or more is better. Capture for longer.',
    },
  },
  noTitle: 'What was found does not make a title: {place}: {complaint}.',
})

/** Which line of a capture is select. */
export const chooseTexts = texts('infer-choose', {
  noLine: 'The capture has no line of one bit.',
  noneCalled: 'No line is called {name}; choose one of {lines}.',
  severalCalled: 'Several lines are called {name}; choose one of {lines}.',
  noneNamed: 'No line is called "{name}"; choose one of {lines}.',
  severalNamed: 'Several lines are called "{name}"; rename one and capture again.',
  andMore: '{lines} and {more} more',
})
