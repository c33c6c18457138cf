import { texts } from '../../words/texts.ts'

/** The steps of a title. */
export const t = texts('title-steps', {
  edit: 'steps of {name}',
  steps: 'Step by step',
  notShort: 'This title has more in it than the short form can say.',
  hint: 'What the program does to select and when it samples. A step is chosen in the list or in the drawing.',

  taken: '{pin} {input}',
  takenIf: '{pin} {input} if “{name}” agrees',
  mixed: 'select {input}',
  takesNothing: 'no input',
  times: { n: { one: '{n} time', other: '{n} times' } },
  waits: 'release, wait for the rise',
  after: { since: { step: 'after {range}', edge: '{range} after the edge' } },
  named: '“{name}”: {takes}',
  tooSoon:
    'Can this be? It samples {found} after an edge that the program drives. A program for the 7.67 MHz processor needs {least}: four cycles, from memory.',

  mode: 'Mode {n}',
  modeNamed: 'Mode {n}: {name}',
  modeName: 'Name of the mode',
  once: 'Once, at power-on',
  onceHint: 'For one frame. Another mode follows it.',
  addMode: 'Add a mode',
  removeMode: 'Remove the mode',
  tied: 'Reads begin',
  tiedBy: { kind: { frame: 'in the frame', interval: 'at an interval' } },

  read: 'Read {n}',
  addRead: 'Add a read',
  removeRead: 'Remove the read',
  removeReadOf: 'Remove read {n}',
  offsets: 'Start of the read',
  offsetsHint: 'µs after the start of the frame, separated by commas',
  late: 'Read jitter: how late it can start',
  starts: 'Starts {times} into the frame',
  startsEvery: 'Starts {times} into the frame, in one of {n} frames',
  startsAfter: 'Starts {range} after the read before',
  every: 'Every so many frames',
  inFrame: 'In which of them',
  inFrameHint: 'counted from 0',
  interval: 'From the last step of the read before',
  stretched: 'An interrupt or a transfer can stretch it',
  stretchBy: 'Stretch of one gap, at most',
  stretchTimes: 'In so many gaps, at most',

  idle: 'Select before the first read',
  rise: 'Rise time of released select',
})

/** The drawing of a read. */
export const stripTexts = texts('title-step-strip', {
  strip: 'Read {n} in time',
  thumb: 'Step {n}: {what}, {at} after the start of the read',
  caption:
    'Drawn at the middle of each time. Left and Right move the chosen step by one processor cycle, with Shift by ten; Up and Down choose another.',
})

/** One step, chosen. */
export const rowTexts = texts('title-step-row', {
  row: 'Step {n}',
  list: 'Steps of read {n}',
  what: 'What it does',
  after: 'Time',
  since: 'Counted from',
  sinces: { since: { step: 'the step before', edge: 'the last edge' } },
  waits: 'Wait for the rise',
  waitsHint: 'Reads select back until it is high. The next step counts from that rise.',
  when: 'When it comes',
  whenSample: 'When it counts',
  whens: {
    when: {
      always: 'always',
      'six-buttons': 'with six buttons detected',
      'three-buttons': 'without six buttons detected',
    },
  },
  name: 'Name of the sample',
  nameHint: 'small letters, digits and hyphens, for what refers to it',
  takes: 'What each pin is taken for',
  pin: 'pin {pin}',
  select: 'select',
  alone: 'alone',
  agrees: 'if “{name}” agrees',
  takenFor: 'Pin {pin} is taken for',
  mixedInto: 'Select is mixed into',
  agreesOf: 'Pin {pin} only if this sample agrees',
  times: 'Times in a row',
  source: 'Time: {source}.',
  sources: 'Time: {time}. Inputs: {takes}.',
  possible: {
    n: { 0: 'Can be taken for nothing else', other: 'Can be taken for these instead: {takes}' },
  },
  instead: 'Instead, {n}',
  insteadHint: 'What else it can be, for all that is known. The verdict is over all of it.',
  addInstead: 'Add a possibility',
  removeInstead: 'Remove it',
  removeInsteadOf: 'Remove possibility {n}',

  addBefore: 'Add before',
  addAfter: 'Add after',
  add: 'Add a step',
  up: 'Move up',
  down: 'Move down',
  repeat: 'Repeat it',
  spread: 'Write out the repeat',
  remove: 'Remove the step',
  moveHint: 'Alt with Up or Down moves a step in the list.',
})

export const whatTexts = texts('title-step-kinds', {
  low: 'low',
  high: 'high',
  release: 'release',
  sample: 'sample',
})

/** Where a figure comes from. */
export const sourceTexts = texts('title-sources', { of: 'Source: {source}.' })

/** How a title detects six buttons. */
export const sixTexts = texts('title-six-buttons', {
  detection: 'Six-button detection',
  kinds: { kind: { never: 'none', assumed: 'assumed', told: 'by samples' } },
  condition: 'Condition {n}',
  sample: 'Sample',
  low: 'pins low',
  high: 'pins high',
  lowPin: 'Condition {n}: pin {pin} low',
  highPin: 'Condition {n}: pin {pin} high',
  holds: 'It holds',
  holdsFor: { holds: { read: 'for the read', onwards: 'until told again' } },
  add: 'Add a condition',
  remove: 'Remove the condition',
  removeOf: 'Remove condition {n}',
  all: 'All conditions have to be so.',
})
