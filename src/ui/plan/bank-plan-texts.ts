import { texts } from '../../words/texts.ts'

/** The plan of the banks, on its sheet and its card. */
export const t = texts('bank-plan', {
  title: 'A bank for each title',
  lead: 'Which profiles to flash so that as many titles as possible are read right, and what to hold for each.',
  open: { open: { true: 'Close the plan', false: 'Plan the banks' } },
  loading: 'Loading …',
  unloaded: 'The plan could not be loaded. Check the network, then close and open it again.',

  choice: {
    kind: {
      profile: { all: { true: 'Profiles: all {n}', false: 'Profiles: {taken} of {n}' } },
      title: { all: { true: 'Titles: all {n}', false: 'Titles: {taken} of {n}' } },
    },
  },
  toPlanWith: { kind: { profile: 'Profiles to plan with', title: 'Titles to plan with' } },

  empty: 'Tick at least one profile and one title.',
  trying: 'Checking the profiles against the titles …',
  nothingYet: 'Nothing is planned yet.',
  cancelled: 'Cancelled. This is the previous plan.',
  cancel: 'Cancel',
  again: 'Plan again',

  bank: 'Bank {bank}: {profile}',
  flashed: 'flashed',
  flash: 'Go to flash',
  flashOf: 'Go to flash of bank {bank}',
  needsRules: 'needs new rules',
  firstCycleTitle: '{title}<aside>, first cycle only</aside>',
  firstCycle: '<lead>First cycle only:</lead> {what}',

  notCovered: 'Not covered',

  putRules: 'Put these rules into the profiles',
  asCopies: 'They are saved as copies, ready to be flashed; the originals stay.',
  step: 'the rules of the plan',
  saved: {
    n: {
      one: '{name} is on the shelf. The profile that it came from stays.',
      other: '{n} finished profiles are on the shelf. The profiles that they came from stay.',
    },
  },
  nameWithBank: '{name}, bank {bank}',

  print: 'Print a card for the console',
  card: 'Card to print',
  before: 'Before you play',
  cardTitle: 'Title',
  cardWhat: 'What to do',
  cardBank: 'Bank',
})
