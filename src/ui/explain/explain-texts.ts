import { texts } from '../../words/texts.ts'

/** What a finding is called above its sentence. */
export const findingTexts = texts('finding-names', {
  phantom: 'Phantom press',
  missed: 'Missed press',
  'false-six-buttons': 'False six-button detection',
  'too-early': 'Sample too early',
  opposite: 'Opposite directions at once',
  torn: 'Change caught mid-read',
  'left-over': 'Left-over count',
  'short-press': 'Short press',
})

export const t = texts('explain', {
  tooMany:
    'The reads of this title can vary in too many ways to draw one of them; the findings hold for all.',
  anyPad: 'With any pad, an original one included:',

  hold: { any: { true: 'Hold {inputs}.', false: 'Hold nothing.' } },
  saw: {
    saw: {
      phantom: 'sees {phantom}',
      missed: 'does not see {missed}',
      both: 'sees {phantom} and does not see {missed}',
    },
  },
  place: {
    saw: {
      phantom:
        'Frame {frame}, read {read}, cycle {cycle} {level}: the sample {at} into the read sees {phantom}.',
      missed:
        'Frame {frame}, read {read}, cycle {cycle} {level}: the sample {at} into the read does not see {missed}.',
      both: 'Frame {frame}, read {read}, cycle {cycle} {level}: the sample {at} into the read sees {phantom} and does not see {missed}.',
    },
  },
  early: { when: { before: '{short} too early', at: 'at the instant of the reply' } },
  earlyReply: {
    when: {
      before: '{short} too early; the reply comes here',
      at: 'at the instant of the reply; the reply comes here',
    },
  },
  isEarly: { when: { before: 'That is {short} too early.', at: 'That is the instant of the reply.' } },
  reply: 'the reply comes here',
  replyHere: 'reply here',

  legend:
    'One of many timings that show it. Times in µs from the start of the read; a triangle is a sample; shaded means held.',
  detail: 'Detail around the sample',
  closeUp: 'Close-up: the failing sample and the correct reply after it.',
  onScope: 'On a scope.',
  inWords: 'The diagram in words',
  save: 'Save as VCD',
  select: 'select',
  pin: 'pin {pin}',
  samples: 'samples',
  diagram: {
    n: {
      one: 'Timing diagram of the read, time in µs from its start: select, six pins and {n} sample.',
      other: 'Timing diagram of the read, time in µs from its start: select, six pins and {n} samples.',
    },
  },

  edge: { level: { low: 'Select falls.', high: 'Select rises.' } },
  atStart: {
    level: { low: 'Before the read, select low: {pins}.', high: 'Before the read, select high: {pins}.' },
  },
  change: 'The pins change: {pins}.',
  pinAt: 'pin {pin} {level}',
  pinCarries: 'pin {pin} {cell}, {level}',
  sample: 'A sample.',
  misread: {
    saw: {
      phantom: 'Misread: the sample of {pins} sees {phantom}.',
      missed: 'Misread: the sample of {pins} does not see {missed}.',
      both: 'Misread: the sample of {pins} sees {phantom} and does not see {missed}.',
    },
  },
  due: 'The correct reply is valid from here.',
})

/** How to find the failing sample on a scope. */
export const scopeTexts = texts('scope', {
  pins: { n: { one: 'pin {pins}', other: 'pins {pins}' } },
  where: { reads: { one: 'frame {frame}', several: 'read {read} of frame {frame}' } },
  before: 'Trigger on the first falling edge of pin 7 in {where} and check {pins}, {time} before it: {seen}.',
  after: 'Trigger on the {nth} falling edge of pin 7 in {where} and check {pins}, {time} later: {seen}.',
  afterCounted:
    'Trigger on the {nth} falling edge of pin 7 in {where}, the {total} since power-on, and check {pins}, {time} later: {seen}.',
  withoutCount:
    'A scope that does not count edges triggers on the first falling edge of the read; the sample is {time} after that.',
  wrong: '{level} instead of {right}',
  some: '{pins} {seen}',
})
