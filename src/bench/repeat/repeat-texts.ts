import { texts } from '../../words/texts.ts'

/** What a title sees of a rate, in a word or two. */
export const findingTexts = texts('repeat-findings', {
  'as-asked': 'as asked',
  'other-rate': 'other rate',
  'other-share': 'other share',
  uneven: 'uneven',
  'same-each-frame': 'same in each frame',
  'always-pressed': 'always pressed',
  'never-pressed': 'never pressed',
  'by-moment': 'by the moment of the press',
  'not-looked-at': 'not sampled',
})

/** What a title sees of an auto-repeat, in sentences. */
export const seenTexts = texts('repeat-seen', {
  none: '{input} is not sampled.',
  notTied: {
    modes: {
      one: '{title} reads at intervals that no frame ties, so a repeat has no rate that stays',
      several:
        '{title} reads in {mode}, the last of its modes, at intervals that no frame ties, so a repeat has no rate that stays',
    },
  },
  mode: 'The reads are those of {mode}, the last of its modes.',
  asAsked: '{input} is seen as asked: pressed in {pressed} of {samples} samples, {rate}.',
  otherRate:
    '{input} is seen pressed in {pressed} of {samples} samples, {rate}; advancing with each read it would be {asked}.',
  otherShare:
    '{input} is seen pressed in {pressed} of {samples} samples, {rate}; asked for are {askedPressed} of {askedReads}.',
  uneven:
    '{input} is seen unevenly: pressed in {pressed} of {samples} samples, {rate}, in runs of different lengths.',
  sameEachFrame:
    'Every frame shows {input} the same, pressed in some samples and released in others; a title that uses one of them sees no change.',
  alwaysPressed: '{input} is never seen released.',
  neverPressed: '{input} is never seen pressed.',
  byMoment: 'What is seen of {input} depends on the moment of the press: {moments}.',
  moment: '{finding} (pressed in {pressed} of {samples} samples)',
  notSampled: '{input} is not sampled in these reads.',

  split: 'The samples of one read differ, so something is misread: look at the verdict of the pair first.',
  noReset: {
    n: {
      one: 'The title makes {reads} read a frame, but no idle reset ever comes, so the repeat does not advance.',
      other:
        'The title makes {reads} reads a frame, but no idle reset ever comes, so the repeat does not advance.',
    },
  },
  eachRead: {
    n: {
      one: 'The title makes {reads} read a frame, and the repeat advances with each.',
      other: 'The title makes {reads} reads a frame, and the repeat advances with each.',
    },
  },
  otherResets: {
    n: {
      one: {
        k: {
          one: 'The title makes {reads} read a frame, but there is {resets} idle reset in it, and the repeat advances with that.',
          other:
            'The title makes {reads} read a frame, but there are {resets} idle resets in it, and the repeat advances with those.',
        },
      },
      other: {
        k: {
          one: 'The title makes {reads} reads a frame, but there is {resets} idle reset in it, and the repeat advances with that.',
          other:
            'The title makes {reads} reads a frame, but there are {resets} idle resets in it, and the repeat advances with those.',
        },
      },
    },
  },
  neverSamples: '{title} never samples {input}; choose an input that it reads',
})
