import { texts } from '../../words/texts.ts'

/** How many titles read a profile how, and what an edit has turned: the app's frame says it. */
export const t = texts('verdict-counts', {
  counts: {
    kind: {
      'misread-undecided-tight': '{misread} misread, {undecided} undecided, {tight} tight',
      'misread-undecided': '{misread} misread, {undecided} undecided',
      'misread-tight': '{misread} misread, {tight} tight',
      misread: '{misread} misread',
      'undecided-tight': '{undecided} undecided, {tight} tight',
      undecided: '{undecided} undecided',
      tight: '{tight} tight',
      clean: 'all {clean} clean',
      none: 'none yet',
    },
  },
  turned: {
    verdict: {
      clean: '{name} is clean now.',
      tight: '{name} is tight now.',
      undecided: '{name} is undecided now.',
      misread: '{name} is misread now.',
    },
  },
  manyTurned: { n: { one: '{n} verdict changed.', other: '{n} verdicts changed.' } },
})
