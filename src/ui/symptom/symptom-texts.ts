import { texts } from '../../words/texts.ts'

export const t = texts('symptom', {
  title: 'Symptoms',
  lead: 'Tick what a title does with <strong>{profile}</strong>. Every known read pattern is then played against that profile.',
  trying: 'Trying the read patterns …',
  noKind: 'No read pattern shows this with {profile}.',
  kinds: {
    n: {
      1: 'One kind of title is left: a title that {does}.',
      other: '{n} kinds of title fit. The likeliest: a title that {does}.',
    },
  },
  cancel: 'Cancel',
  ask: 'Ask about {profile}',
  lookFirst:
    'Check the cable, the light and the active bank first. Then read a capture of select on the Titles station: it shows how the title reads.',
  causes: 'Likely cause: a title that …',
  cause: {
    more: {
      0: '<strong>{does}</strong>',
      1: '<strong>{does}</strong><soft>, or one more, with another figure</soft>',
      other: '<strong>{does}</strong><soft>, or {more} more, with other figures</soft>',
    },
  },
  also: 'You would also see: {symptoms}.',
  likeliest: 'Show the likeliest only',
  less: { n: { one: 'Show {n} less likely', other: 'Show {n} less likely' } },
  unexplained: 'None of these shows: {symptoms}.',

  trials: 'Trials',
  taken: '{act}:',
  takeBack: 'Take back',
  takeBackOf: 'Take back: {act}',
  andLook: '{act}, and look.',
  nothingTells: 'No trial can tell apart what is left.',
  oneLeft: 'One read pattern is left.',
  result: 'Result of the trial',
  otherResult:
    'Something else? Then the title reads in a way that is not known here: read a capture of select on the Titles station.',

  tryFirst: 'Try first',
  open: 'Open {profile}',
  tryThis: '{act}.',
  helps: {
    left: {
      1: 'It helps with this read pattern.',
      other: 'It helps with all {left} read patterns of these kinds.',
    },
  },
  helpsSome: {
    left: {
      one: 'It helps with {serves} of the {left} read pattern of these kinds.',
      other: 'It helps with {serves} of the {left} read patterns of these kinds.',
    },
  },
  noRemedy:
    'No profile here removes the symptom. Save the likeliest as a title below: the Port station then shows its read and looks for a fix.',
  gone: '{profile} is no longer on the shelf. Nothing was changed. Open a profile and ask again.',
  isSet: '{profile} is set. Flash it on the Adapter station, then look.',
  isOpen: '{profile} is open. Flash it on the Adapter station, then look.',
  profileStep: 'the profile {name}',

  keep: 'Save the likeliest as a title',
  name: 'Name of the title',
  keptAs: 'Saved as a title that {does}, for verdicts and fixes.',
  keepIt: 'Save as a title',
  noName: 'Give it a name first: the one on the title itself.',
  step: 'the title {name}',
  notes: 'A guess from what was seen with {profile}: {symptoms}. The figures are typical of this kind.',
  onShelf: '{name} is on the shelf.',
  toPort: 'See its read on the Port',
})
