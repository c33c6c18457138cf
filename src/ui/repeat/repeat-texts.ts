import { texts } from '../../words/texts.ts'

export const t = texts('repeat', {
  input: 'Input',
  trying: 'Trying other rates …',
  refused: '{fault}.',
  byTime: 'A repeat in milliseconds does not follow a title’s reads: it is not judged.',
  step: 'auto-repeat of {input}',

  caption: 'Rates for {input} that are seen as asked, in presses a second. Press one to set it.',
  axes: 'reads on <down>↓</down> off <across>→</across>',
  cell: '{rate} presses a second: {on} on, {off} off',
  allAsAsked: 'All {n} are seen as asked.',
  asAsked: {
    as: {
      one: {
        others: {
          1: '{as} of {n} is seen as asked; the other one: {findings}.',
          other: '{as} of {n} is seen as asked; the other {others}: {findings}.',
        },
      },
      other: {
        others: {
          1: '{as} of {n} are seen as asked; the other one: {findings}.',
          other: '{as} of {n} are seen as asked; the other {others}: {findings}.',
        },
      },
    },
  },
  counted: '{n} {finding}',

  legend: 'Frames from power-on, numbered; a tick is a sample, filled where it sees the input pressed.',
  noSample: {
    frames: { one: 'The first frame: no sample.', other: 'The first {frames} frames: no sample.' },
  },
  strip: { frames: { one: 'The first frame: {runs}.', other: 'The first {frames} frames: {runs}.' } },
  andSoOn: {
    frames: {
      one: 'The first frame: {runs}, and so on.',
      other: 'The first {frames} frames: {runs}, and so on.',
    },
  },
  firstRun: {
    pressed: {
      true: { n: { one: '{n} sample pressed', other: '{n} samples pressed' } },
      false: { n: { one: '{n} sample released', other: '{n} samples released' } },
    },
  },
  run: { pressed: { true: '{n} pressed', false: '{n} released' } },

  timeRate: '{rate} Hz, on {share} % of the time',
  presses: {
    every: {
      true: 'Shorter than a frame: a title that samples once a frame can miss presses.',
      false: 'Shorter than a frame of {lines} lines: a title that samples once a frame can miss presses.',
    },
  },
  pauses: {
    every: {
      true: 'Shorter than a frame: a title that samples once a frame can miss pauses.',
      false: 'Shorter than a frame of {lines} lines: a title that samples once a frame can miss pauses.',
    },
  },
})
