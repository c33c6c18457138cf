import { texts } from '../../words/texts.ts'

/** The sheet that finds out, question by question, what a title does. */
export const t = texts('probe-sheet', {
  title: 'Find out with the adapter: {title}',
  lead: 'A <strong>probe</strong> is a profile that answers each phase with an input of its own: what acts on screen tells which samples the title uses.',
  close: 'Close',
  stays: 'The answers stay here while this page is open.',

  working: 'Working out the next question …',
  tried: { of: { one: 'Choosing a probe, {tried} of {of}', other: 'Choosing a probe, {tried} of {of}' } },
  calledOff: 'Stopped. Your answers are kept.',
  workOn: 'Work on',
  tryAgain: 'Try again',

  probe: 'Probe {n}',
  put: 'Put probe {n} into the adapter',
  putAgain: 'Put probe {n} into the adapter again',
  slot: 'It goes into the trial slot, and no bank is touched: it answers from the next power-on with the console until the power goes.',
  noSlot:
    'This adapter’s firmware has no trial slot, so the probe goes into a bank. Choose one that can be spared.',
  noAdapter:
    'No adapter is connected. Connect one here, or save the image as a file and flash it by other means.',
  connect: 'Connect adapter',
  bank: 'Bank for the probe',
  bankIs: {
    holds: {
      empty: 'Bank {bank}: empty',
      profile: 'Bank {bank}: {profile}',
      unreadable: 'Bank {bank}: cannot be read',
      probe: 'Bank {bank}: a probe',
    },
  },
  before: {
    holds: {
      empty: 'It is empty. It holds the probe until another profile is flashed into it.',
      profile: 'What it holds is read back and kept first; afterwards it can be put back.',
      unreadable: 'What it holds cannot be read back, so it could not be put back. Choose another bank.',
      probe: 'What it held before the probe is kept and can be put back.',
    },
  },
  flash: 'Flash probe {n} into bank {bank}',
  arm: 'Put probe {n} into the trial slot',
  save: 'Save the image as a file',
  saved: '{file} is saved. Flash it into a bank that can be spared.',
  isArmed:
    'Probe {n} is in the trial slot, verified. It answers from the next power-on with the console, once.',
  isIn: 'Probe {n} is in bank {bank}, verified. It is the active bank: it answers from the next power-on.',
  start: 'Plug the adapter into the console, start {title} and play up to where directions and buttons act.',
  odd: 'In the first cycle of a read everything acts as usual. Later cycles carry other inputs, so things can act in odd ways, even by themselves.',
  goOn: 'Continue to the question',
  nothingActs: 'Nothing acts on screen',
  ifNothing: 'If nothing acts',
  notInUse: 'Check the cable, the light and the active bank: the probe may not be in use.',
  elsewhere: 'Try another place in the title: a menu or the game itself.',
  noScreen:
    'A title that shows nothing on screen cannot be asked. What is known of it stays as it is; its program tells, or a capture together with what is held.',

  progress: 'Question {n}, with probe {probe}',
  revisited: 'Question {n} again, asked with probe {probe}',
  hold: { n: { 0: 'Hold nothing.', other: 'Hold {inputs}.' } },
  holdInMode: { n: { 0: 'In {mode}, hold nothing.', other: 'In {mode}, hold {inputs}.' } },
  onPad: 'On the pad: {controls}.',
  look: 'Tick what acts on screen meanwhile, also by itself.',
  acting: 'What acts',
  acts: { n: { 0: 'Nothing acts', one: '{inputs} acts', other: '{inputs} act' } },
  notSure: 'Not sure',
  back: 'Back',
  onwards: 'Leave it as answered',
  stop: 'Stop asking',
  otherProbe:
    'Another probe is in the adapter now. To look once more, put probe {probe} in again; to correct a slip, answer from memory.',
  decided: 'With {profile} this decides the verdict. Further questions tell more of the title.',

  given: { n: { one: '{n} answer so far', other: '{n} answers so far' } },
  wasNotSure: 'not sure',
  held: { n: { 0: 'Held nothing', other: 'Held {inputs}' } },
  heldInMode: { n: { 0: '{mode}, held nothing', other: '{mode}, held {inputs}' } },
  contradicts: 'against the others',
  contradict: {
    n: {
      one: 'One answer does not go with the others: look once more. Until then it is outweighed, and stays in the evidence.',
      other:
        '{n} answers do not go with the others: look once more. Until then they are outweighed, and stay in the evidence.',
    },
  },
  again: 'Answer again',
  againOf: 'Answer again: {question}',

  lateWould:
    'The verdict turns on when the title samples. A probe with late replies tells: hold one thing, and count how often it acts.',
  timeIt: 'Find out when it samples',
  timed: 'It samples {range} after the edge, by {n} counts.',
  holdLate: 'Hold {input} for {steps} seconds.',
  holdLateInMode: 'In {mode}, hold {input} for {steps} seconds.',
  lateHow:
    'By itself it is pressed for half a second and released for half a second, again and again. Each press is answered later than the one before, until the title samples too soon for it.',
  lateCut: 'The next edge comes so soon that the last press may still act.',
  countOf: {
    'n:ordinal': { one: '{n}st count', two: '{n}nd count', few: '{n}rd count', other: '{n}th count' },
  },
  throughout: 'Presses that act throughout',
  atAll: 'Presses that act at all, also those that flicker',
  countTwice: 'Count, let go, hold once more and count again: one count settles nothing.',
  counted: 'That is what I counted',
  countMissing: 'Write four whole numbers from 0 to {steps}; at all is never fewer than throughout.',
  countFault: {
    fault: {
      never: 'It never acted, so the counts tell nothing: it has to act in the first presses.',
      contradicting:
        'The counts do not go with one another, or with what was known. Nothing is concluded from them; count once more.',
    },
  },

  knownSoFar: 'Known so far',
  over: {
    why: {
      told: 'What was found',
      timing: 'When does it sample?',
      'nothing-seen': 'Nothing was seen',
      stopped: 'What is known so far',
      'no-question': 'No question tells anything',
    },
  },
  overHeard: 'With {profile}: {verdict}.',
  noQuestion:
    'Whatever is open of this title, no probe shows a difference on screen. Nothing was changed. Its program can tell, or a capture of another place in the title.',
  nothingSeen:
    'Nothing acted in any answer, so the answers tell nothing: the title may not have been played up to where it uses the pad, or shows nothing on screen. Nothing is concluded from them.',
  nothingYet: 'The answers tell nothing yet.',
  verdict: 'With {profile}',
  stillOpen: 'Still open',
  moreToAsk: 'Ask on',
  keep: 'Keep in the title',
  keepNew: 'Keep as a title',
  keepStep: 'what was found about {title}',
  kept: 'What was found is in {title}. Undo restores what it was before.',
  isKept: 'It is in the title, with its evidence.',
  gone: 'The title was removed from the shelf. What was found can be saved as a title of its own.',
  changed:
    'The title was changed after the first question. Keeping what was found would undo that change. Begin again with the title as it is now.',
  begin: 'Begin again',

  armed: 'The trial slot is armed: its image answers at the next power-on with the console.',
  forgetTrial: 'Empty the trial slot',

  lent: 'Bank {bank} holds a probe.',
  lentFrom: {
    holds: {
      empty: 'It was empty before. Flash a profile into it when you like.',
      profile: 'Before, it held {profile}, kept here.',
      image: 'Before, it held an image that this page cannot read, kept here byte by byte.',
    },
  },
  activeWas: 'Bank {bank} was the active one.',
  putBack: 'Put back what bank {bank} held',
  makeActive: 'Make bank {bank} active again',
  isBack: 'Bank {bank} holds what it held before, verified.',
  activeAgain: 'Bank {bank} is the active one again.',
  savePrevious: 'Save what bank {bank} held as a file',
  notKept:
    'What bank {bank} holds could not be kept in this browser, so the probe was not written. Save it as a file first, then flash the probe.',
  notRead: 'What bank {bank} holds cannot be read back, so the probe was not written. Choose another bank.',
})
