import { texts } from '../../words/texts.ts'

export const t = texts('fix', {
  forAll: 'Fix for all titles on the shelf',
  oneForAll: 'One change, or the fewest, with which all of these read right:',
  all: 'All',
  none: 'None',
  choose: 'Choose the titles to fix.',

  looking: 'Looking for a fix.',
  stopped: 'Search stopped.',
  found: 'Fix found: {fix}.',
  noneFound: 'No fix found.',
  ruleSet: 'The rule is in the profile. Hold {controls} at every power-on from now on.',

  soFar: 'Best so far:',
  tried: {
    n: {
      one: 'Looking for a fix: {n} combination of changes tried',
      other: 'Looking for a fix: {n} combinations of changes tried',
    },
  },
  stop: 'Stop looking',
  stoppedAfter: {
    n: {
      one: 'Stopped after {n} combination of changes. The rest can still hold a fix.',
      other: 'Stopped after {n} combinations of changes. The rest can still hold a fix.',
    },
  },
  again: 'Look again',
  nothingToFix: 'All of them are clean: nothing to fix.',
  fix: { titles: { 1: 'Fix it: {fix}', other: 'Fix all {titles}: {fix}' } },
  allowed: 'The profile already allows this: {fix}.',
  others: 'Other fixes',
  closest: {
    titles: {
      1: 'None of the changes tried makes it clean; this is the closest.',
      other: 'None of the changes tried makes all of them clean; this is the closest.',
    },
  },
  noFix: {
    titles: {
      1: {
        n: {
          one: '<strong>No fix found:</strong> the one combination of changes that could matter was tried.',
          other:
            '<strong>No fix found:</strong> all {n} combinations of changes that could matter were tried.',
        },
      },
      other: {
        n: {
          one: '<strong>No fix found:</strong> the one combination of changes that could matter was tried for these {titles} at once.',
          other:
            '<strong>No fix found:</strong> all {n} combinations of changes that could matter were tried for these {titles} at once.',
        },
      },
    },
  },

  decideFirst: {
    n: {
      one: '{titles} is undecided: find out first what it does.',
      other: '{titles} are undecided: find out first what they do.',
    },
  },

  pending: 'the other titles are being judged',
  readsWorse: 'reads worse then: {titles}',
  leavesTight: 'leaves {titles} tight',
})

/** What is left to do where no change that was tried helps. */
export const adviceTexts = texts('fix-advice', {
  reset:
    'The idle reset falls close to this read, and none of the values tried moves it away. One in between might: set it on the Profile.',
  reply:
    'The margin is short between the edge and the settled reply. What is left of the reply time is that of the adapter and its cable: test this title on the console first.',
  rise: 'The margin is short between the rise of released select and the sample. No profile changes that: test this title on the console first.',
  settling:
    'The title samples before the reply can settle: only an adapter with a shorter reply time would help, or a shorter cable.',
  'slow-rise':
    'The title samples before the released select has risen. No profile changes that: test it on the console.',
  'read-back':
    'The title takes the level of select for an input. No profile changes that: test it on the console.',
  opposite:
    'Setting opposite directions on the Profile keeps a pair from the title, but something else goes wrong as well.',
  noneForAll: 'No one change suits everything that this title may be.',
  cells: 'Several cells at once were not tried. Unlock the chart to change them yourself.',
})

export const gridTexts = texts('fix-grid', {
  tried: 'Changes tried',
  atMost:
    'At most one change of each kind, alone and together. The last four exclude one another, because each changes the chart.',
  delay: 'added delay',
  'idle-reset': 'idle reset',
  'opposite-vertical': 'Up with Down',
  'opposite-horizontal': 'Left with Right',
  'first-cycle': 'first cycle only',
  after: 'after the last cycle',
  'stop-after': 'number of cycles',
  cell: 'one cell',
  delays: '{values} ns',
  fromTo: 'from “{first}” to “{last}”',
  cells:
    'each of the twelve inputs, low and high, in any one cell of the phases that a failing sample can reach',
})

/** Why a kind has no change to offer. */
export const nothingTexts = texts('fix-grid-nothing', {
  'opposite-vertical': 'already limited by the profile',
  'opposite-horizontal': 'already limited by the profile',
  'first-cycle': 'no control for Mode, or no room for another power-on rule',
  after: 'nothing else to choose',
  'stop-after': 'no cycle to remove',
})
