import { texts } from '../../words/texts.ts'

export const t = texts('learn', {
  learn: 'Learn a pad',
  lead: 'Finds each control in the pad’s reports. Takes about a minute, once per pad model.',
  found: 'Controls found',
  close: 'Close',
  anotherWaits: 'Another pad is waiting. Save or discard this one to learn it next.',
  closeUnsaved: 'Close without saving?',
  canWait: 'What was learned is not saved yet. It can wait here until this page is closed.',
  goOn: 'Continue learning',
  keep: 'Keep it for later',
  discard: 'Discard',

  asking: 'Learning. Enter skips, Backspace goes back, Escape closes.',
  keys: 'Enter or Space skips, Backspace goes back, Escape closes.',
  atRest: '{pad} · at rest',
  progress: '{pad} · {now} of {of}',
  askedSoFar: 'Asked so far',
  lost: {
    here: {
      true: 'Press any button on the pad: learning continues where it was.',
      false: 'The pad is gone. Plug it in again.',
    },
  },
  rest: {
    silent: { true: 'Press any button once, and let go.', false: 'Let go of everything.' },
  },
  lastFound: '{what}: {place}.',
  chooseAgain: 'Choose it in the browser’s list',
  askAgain: 'Ask again',
  keepForBoth: 'Keep it for both',
  acceptRoll: 'Accept the roll',
  skip: 'Skip: not on this pad',
  back: 'Go back',
  repeatRest: 'Repeat rest check',
  finish: 'Finish',

  nothingLost: 'Nothing is lost: {learned} of {of} stay learned.',
  restCheck: {
    silent: {
      true: 'This pad sends no reports until a button is pressed.',
      false:
        'The pad is watched at rest, to tell what moves by itself from what you press. Pressing a button restarts this check.',
    },
  },
  letGo: 'Let go …',
  taken: {
    push: {
      true: 'That is already {what}. Push it as asked, straight, or keep it for both.',
      false: 'That is already {what}. Press another one, or keep it for both.',
    },
  },
  anotherControl: 'another control',
  two: {
    push: {
      true: '{one} and {other} moved at once. Push once more, straight; if they always move together, the first is taken.',
      false:
        '{one} and {other} moved at once. Press one button only; if one button moves both, press it once more.',
    },
  },
  round: {
    turns: {
      0: 'Round 0 of {of}. Keep it at its edge, and go one way round.',
      other: 'Round {turns} of {of}.',
    },
  },
  waiting: 'Waiting for it.',
  staysAway: '{place} stays away from rest. Let go; if nothing is held, choose “{again}”.',
  somethingStaysAway: 'Something stays away from rest. Let go; if nothing is held, choose “{again}”.',
  seen: 'Seen: {place}. Let go.',
  moves: 'Something moves …',
  ignored:
    'Ignored, because it moved by itself or stayed pressed: {places}. If you touched it, choose “{again}”.',
  more: { n: { one: '{n} more', other: '{n} more' } },

  padNumbers: 'Pad {numbers}',
  reason: '{reason}.',
  reasonAtByte: 'Byte {byte}: {reason}.',
  bitOfByte: 'bit {bit} of byte {byte}',
  lowHalf: 'low half of byte {byte}',
  highHalf: 'high half of byte {byte}',
  byte: 'byte {byte}',
  signedByte: 'signed byte {byte}',
  unnamed: 'an unnamed field',
})

/** What the user is asked to press; `extra` for a control that has no place of its own. */
export const pressTexts = texts('learn-presses', {
  'face-south': 'Press the lowest of the four buttons on the right.',
  'face-east': 'Press the rightmost of the four buttons on the right.',
  'face-west': 'Press the leftmost of the four buttons on the right.',
  'face-north': 'Press the highest of the four buttons on the right.',
  'shoulder-left': 'Press the upper of the buttons on the left shoulder.',
  'shoulder-right': 'Press the upper of the buttons on the right shoulder.',
  'trigger-left': 'Pull the left trigger, all the way: the lower one on the shoulder.',
  'trigger-right': 'Pull the right trigger, all the way: the lower one on the shoulder.',
  'centre-left': 'Press the small button left of the middle.',
  'centre-right': 'Press the small button right of the middle: the one that starts.',
  'stick-left-press': 'Press the left stick in, straight down.',
  'stick-right-press': 'Press the right stick in, straight down.',
  'dpad-up': 'Press up on the cross.',
  'dpad-down': 'Press down on the cross.',
  'dpad-left': 'Press left on the cross.',
  'dpad-right': 'Press right on the cross.',
  centre: 'Press the button in the very middle, if there is one.',
  extra: 'Press a button that was not asked for yet: on the back, beside the cross, wherever.',
})

export const stickAskTexts = texts('learn-sticks', {
  push: {
    stick: {
      left: {
        way: {
          up: 'Push the left stick up, all the way, and let it spring back.',
          right: 'Push the left stick to the right, all the way, and let it spring back.',
        },
      },
      right: {
        way: {
          up: 'Push the right stick up, all the way, and let it spring back.',
          right: 'Push the right stick to the right, all the way, and let it spring back.',
        },
      },
    },
  },
  roll: {
    stick: {
      left: 'Roll the left stick round its edge, three times, and let it spring back.',
      right: 'Roll the right stick round its edge, three times, and let it spring back.',
    },
  },
  edge: { stick: { left: 'Left stick, its edge', right: 'Right stick, its edge' } },
})
