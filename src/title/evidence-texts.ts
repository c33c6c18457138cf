import { texts } from '../words/texts.ts'

/** Where a figure comes from. */
export const sourceTexts = texts('sources', {
  source: {
    kind: {
      measured: {
        in: { capture: 'measured in {name}, {seen} of {of}', none: 'measured, {seen} of {of}' },
      },
      shown: 'shown by its program',
      found: {
        against: {
          0: {
            trials: {
              one: 'found with the adapter, {trials} trial',
              other: 'found with the adapter, {trials} trials',
            },
          },
          other: {
            trials: {
              one: 'found with the adapter, {trials} trial, {against} against it',
              other: 'found with the adapter, {trials} trials, {against} against it',
            },
          },
        },
      },
      'typed-in': 'typed in',
      preset: 'preset',
      guessed: 'guessed',
      'not-recorded': 'not recorded',
    },
  },
})

/** What is known of a title, a figure a line. */
export const knownTexts = texts('known-figures', {
  standard: 'Video standard',
  standards: { standard: { '525-line': '525-line', '625-line': '625-line' } },
  clock: 'Console clock tolerance',
  ppm: '{ppm} ppm either way',
  idle: 'Select between reads',
  idles: { level: { high: 'idles high', low: 'idles low' } },
  drive: 'High level of select',
  driven: 'driven',
  reads: 'Reads',
  readsOf: 'Reads of {mode}',
  starts: '{times} into the frame',
  startsEvery: '{times} into the frame, in one of {n} frames',
  time: {
    kind: {
      sample: { since: { edge: 'Edge to sample', step: 'Step to sample' } },
      edge: { since: { edge: 'Edge to edge', step: 'Step to edge' } },
      late: 'Read jitter',
      interval: 'From read to read',
      rise: 'Rise of released select',
    },
  },
  range: '{from} to {to}',
  places: { n: { one: '{range}', other: '{range}, {n} times' } },
  stretch: 'Stretch of a gap',
  stretches: { n: { one: 'up to {by}, once a read', other: 'up to {by}, in {n} gaps of a read' } },
  samples: 'Samples',
  taken: {
    open: { 0: '{n} in a read', other: '{n} in a read, {open} of them left open' },
  },
  detection: 'Six-button detection',
  detects: { kind: { never: 'none', assumed: 'assumed', told: 'by samples' } },
  detectsOr: '{stated}, or one of {n} other ways',
  opposite: 'Opposite directions at once',
  accepts: { takes: { true: 'accepted', false: 'not accepted' } },
})
