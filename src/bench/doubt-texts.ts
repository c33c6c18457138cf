import { texts } from '../words/texts.ts'

/** What an undecided verdict hangs on. The title is the subject that is not named. */
export const t = texts('doubts', {
  notDescribed: 'Not described yet: choose a ready pattern, or say what it samples and when.',
  tooOpen: 'Not decided: it may do more than is followed. Nothing that was followed misreads.',
  tooOpenMisreads: {
    n: {
      one: 'Not decided: it may do more than is followed. One thing that it may do misreads.',
      other: 'Not decided: it may do more than is followed. {n} things that it may do misread.',
    },
  },
  undecided: 'Clean if {clean}. Misread if {condition}: {reason}',
  undecidedMore: {
    n: {
      one: 'Clean if {clean}. Misread if {condition}: {reason} One more thing that it may do misreads, too.',
      other:
        'Clean if {clean}. Misread if {condition}: {reason} {n} more things that it may do misread, too.',
    },
  },

  usesSample: 'it uses its sample in {place}',
  usesExtra: '{detects} and takes {place} for {inputs}',
  place: 'cycle {cycle} {level}',
  placeInMode: 'cycle {cycle} {level} of {mode}',
  detects: {
    how: {
      never: 'it never looks for six buttons',
      assumed: 'it takes six buttons for granted',
      identification: 'it detects six buttons by the identification',
      'end-mark': 'it detects six buttons by the end mark',
      pins: 'it detects six buttons by its pins',
    },
  },
  samplesSoon: 'it samples cycle {cycle} {level} as soon as {after} after the edge',
  samplesLater: 'it samples {after} after the edge or later',
  guessedTimes: 'its guessed times lie badly',
  otherTimes: 'its guessed times lie well',
  onlyFirst: {
    n: { one: 'it only uses its first cycle', other: 'it only uses its first {n} cycles' },
  },
  ignores: 'it does not use its sample in {places}',

  usesLeftOver: {
    n: {
      one: 'it uses what it samples in a stretch of edges that fits no read',
      other: 'it uses what it samples in {n} stretches of edges that fit no read',
    },
  },
  usesNoLeftOver: 'it does not use what it samples in edges that fit no read',
  laterReply: {
    carries: {
      identification:
        'One of its {level} phases can be cycle {cycle} {level}, which carries the identification.',
      'end-mark': 'One of its {level} phases can be cycle {cycle} {level}, which carries the end mark.',
      cells:
        'One of its {level} phases can be cycle {cycle} {level}, which carries something else than cycle 1.',
    },
  },
  leftOverCounted: 'What was counted before it can carry over into its phases.',
  hasHidden: 'it moves select between two samples of the capture, which are {every} apart',
  hiddenCounted: 'A pad counts edges that the capture does not have.',
  leftOverNotKept: 'More of them were seen than the title file lists, so they are not judged.',

  asksSix: 'it detects six buttons by edges that the capture does not show',
  extraInLeftOver: {
    n: {
      one: 'it takes six buttons for granted and samples the extra ones in a stretch of edges that fits no read',
      other:
        'it takes six buttons for granted and samples the extra ones in {n} stretches of edges that fit no read',
    },
  },
  directionsThere: 'The profile can carry directions where an original six-button pad has X, Y, Z and Mode.',
  looksLikeSix:
    '{inputs} at once look like the identification of a six-button pad, and the profile passes both.',

  oppositeGuessed:
    'Nobody knows whether the title accepts {inputs} at once, and the profile passes both: that it does is a guess.',

  trial: 'Use {profile} and {hold}: if {phantom} acts by itself, it misreads.',
  holdNothing: 'hold nothing',
  hold: 'hold {inputs}',
})
