import { texts } from '../../words/texts.ts'

export const t = texts('live', {
  title: 'Live path',
  lead: 'Live: what the pad reports, what <strong>{profile}</strong> makes of it, what the pins carry.',

  padIn: 'Pad in',
  from: 'from',
  padReports: {
    rate: { one: '{pad}, {rate} report per second', other: '{pad}, {rate} reports per second' },
  },
  padChanges: {
    rate: {
      one: '{pad}, {rate} change per second, as this browser shows it',
      other: '{pad}, {rate} changes per second, as this browser shows them',
    },
  },
  withoutPad: 'keys, the drawn pad or the adapter',
  noPad: 'no pad yet',
  lastReport: 'last report',
  noReport: 'none yet',
  held: 'held',
  nothing: 'nothing',

  profileApplied: 'Profile applied',
  chords: 'chords',
  chord: '{controls} for {inputs}',
  waiting: '{controls} held back',
  layers: 'layers',
  layer: {
    kind: { held: 'layer {n} (held by {controls})', toggled: 'layer {n} (toggled by {controls})' },
  },
  noneOn: 'none is on',
  repeat: 'auto-repeat',
  repeatInReads: '{input} {pressed} of {all} reads',
  repeatInMs: {
    pressed: { true: '{input} every {period} ms (pressed)', false: '{input} every {period} ms (released)' },
  },
  none: 'none',
  asked: 'asked for',

  portOut: 'Port out',
  pressed: 'pressed',
  titleSees: '{title} sees',
  titleSeesInMode: '{title} sees in its mode {mode}',
  picture: { six: { true: '{inputs} with six buttons', false: '{inputs}' } },
  pictureInSome: {
    six: {
      true: '{inputs} with six buttons in {reads} of {all} reads',
      false: '{inputs} in {reads} of {all} reads',
    },
  },
  sees: '{pictures}.',
  seesNotAll: '{pictures}. It does not sample {unseen}.',
  where: 'The Port station shows where.',
})
