import { texts } from '../../words/texts.ts'

/** One case in point: what is held, where it is sampled, what the title reads there. */
export const t = texts('examples', {
  nothing: 'nothing',
  opposite: 'With {held} held, both reach it.',
  example: {
    effect: {
      sees: {
        later: {
          true: 'With {held} held, the sample in cycle {cycle} {level} in read {read} of frame {frame}, {after} after its edge and {at} into the read, sees {phantom}.',
          false:
            'With {held} held, the sample in cycle {cycle} {level}, {after} after its edge and {at} into the read, sees {phantom}.',
        },
      },
      misses: {
        later: {
          true: 'With {held} held, the sample in cycle {cycle} {level} in read {read} of frame {frame}, {after} after its edge and {at} into the read, misses {missed}.',
          false:
            'With {held} held, the sample in cycle {cycle} {level}, {after} after its edge and {at} into the read, misses {missed}.',
        },
      },
      'sees-misses': {
        later: {
          true: 'With {held} held, the sample in cycle {cycle} {level} in read {read} of frame {frame}, {after} after its edge and {at} into the read, sees {phantom} and misses {missed}.',
          false:
            'With {held} held, the sample in cycle {cycle} {level}, {after} after its edge and {at} into the read, sees {phantom} and misses {missed}.',
        },
      },
    },
  },
  tight: {
    by: {
      edge: {
        later: {
          true: 'The tightest sample is in cycle {cycle} {level} in read {read} of frame {frame}, {after} after its edge and {at} into the read: its edge is close before it.',
          false:
            'The tightest sample is in cycle {cycle} {level}, {after} after its edge and {at} into the read: its edge is close before it.',
        },
      },
      rise: {
        later: {
          true: 'The tightest sample is in cycle {cycle} {level} in read {read} of frame {frame}, {at} into the read: the rise of released select is close to it.',
          false:
            'The tightest sample is in cycle {cycle} {level}, {at} into the read: the rise of released select is close to it.',
        },
      },
      reset: {
        later: {
          true: 'The tightest sample is in cycle {cycle} {level} in read {read} of frame {frame}, {after} after its edge and {at} into the read: the idle reset is close to it.',
          false:
            'The tightest sample is in cycle {cycle} {level}, {after} after its edge and {at} into the read: the idle reset is close to it.',
        },
      },
    },
  },
})
