import { texts } from '../../words/texts.ts'

/** What a finding about the pad is about. */
export const padLabelTexts = texts('pad-labels', {
  'pad-lines': 'Data lines',
  'pad-table': 'Replies as',
  'pad-reply': 'Reply time',
  'pad-idle-reset': 'Idle reset',
  'pad-idle-reset-hidden': 'Idle reset',
  'pad-held': 'Held inputs',
  'pad-changes': 'Without an edge',
  'pad-odd': 'Odd replies',
})

/** What data lines tell of the pad in a capture. */
export const t = texts('pad-replies', {
  pins: { n: { one: 'pin {pins}', other: 'pins {pins}' } },
  missing: {
    n: {
      one: '{lines}; pin {pins} is not in the capture',
      other: '{lines}; pins {pins} are not in the capture',
    },
  },
  still: {
    n: { one: '{lines}; pin {pins} never changes', other: '{lines}; pins {pins} never change' },
  },
  six: {
    after: {
      open: 'a six-button pad; what it does after its last cycle does not show',
      stay: 'a six-button pad; after its last cycle it stays at three-button replies',
      'start-again': 'a six-button pad; after its last cycle it starts again',
    },
  },
  three: 'a three-button pad: where a six-button pad would identify itself it does not',
  either: 'a three-button pad or a six-button pad; no reply in this capture tells them apart',
  none: 'neither a three-button nor a six-button pad, so nothing is concluded from the replies; check which probe is on which pin, that no line is inverted, and the threshold',
  unclear:
    'a pad that too few reads tell: an identification here and there can also be Up and Down held for one phase; capture for longer, without pressing anything',
  noReply: 'nothing: no data line ever changes; check the probes, and that the pad has its supply',
  range: '{min} to {max}',
  reply: '{range} after an edge of select; every time is known to within {step}',
  resetBetween: 'between {min} and {max} without a rising edge: {grounds}',
  resetOver: 'longer than {min} without a rising edge: {grounds}',
  resetUnder: '{max} without a rising edge at most: {grounds}',
  resetVaries:
    'contradictory: no reset in {min} without a rising edge, {longestAt} into the capture, but one in {max}, {shortestAt} into it; the time varies, or something else resets the count',
  without: { n: { one: '{n} rest without a reset', other: '{n} rests without a reset' } },
  with: { n: { one: '{n} rest with a reset', other: '{n} rests with a reset' } },
  shown: { n: { one: '{n} reset that the pins show', other: '{n} resets that the pins show' } },
  hidden: 'not measured: samples {step} apart can miss a rising edge; capture at 4 MHz or more',
  held: { of: { one: '{input} in {held} of {of} read', other: '{input} in {held} of {of} reads' } },
  alwaysLow: '{held}; {inputs} together all the time, which an inverted line looks like, too',
  nothingHeld: 'none of {inputs}',
  presses: {
    n: { one: '{n} press or release, at {first}', other: '{n} presses or releases, the first at {first}' },
  },
  resets: { n: { one: '{n} idle reset, at {first}', other: '{n} idle resets, the first at {first}' } },
  eitherChange: {
    n: {
      one: '{n} change that can be a press or an idle reset, at {first}',
      other: '{n} changes that can each be a press or an idle reset, the first at {first}',
    },
  },
  odd: {
    n: {
      one: '{n} read fits neither table, at {first}: an input changed in it, or a line was disturbed; it is left out',
      other:
        '{n} reads fit neither table, the first at {first}: an input changed in them, or a line was disturbed; they are left out',
    },
  },
})
