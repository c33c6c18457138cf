import { texts } from '../../words/texts.ts'

export const t = texts('chart', {
  chart: 'Phase chart',
  readBy: 'Phase chart, read by {title}',
  caption: 'Low reads as pressed. Filled is held now.',
  sampleBy: 'a sample by {title}.',
  samples: 'samples',
  phase: 'phase',
  lane: 'lane',
  carries: 'What the pin carries',
  locked: 'The chart is locked. Unlock it to change a cell.',
  palette:
    'Choose a cell to list all that it can carry, or drag one of these onto it. Keys: its letter, Enter for the list, Delete for what a three-button pad carries there.',

  select: 'select',
  pin: 'pin {pin}',
  cycle: { kind: { own: 'cycle {n}', again: 'cycle {n} again', after: 'afterwards' } },
  shortCycle: { kind: { own: 'cycle {n}', again: '{n} again', after: 'after' } },
  column: {
    kind: { own: 'cycle {n} {level}', again: 'cycle {n} again {level}', after: 'afterwards {level}' },
  },
  thenCycle: 'then cycle {n}',

  cell: '{column}, {lane}: {carries}',
  samplesHere: '{title} samples here',
  misread: 'misread, sees {inputs}',
  sees: 'sees {inputs}',
  tight: 'tight, {time} margin',

  cycleMenu: 'Cycle',
  change: '{cycle}: change',
  stopAfter: 'Stop after cycle {n}',
  remove: 'Remove cycle {n}',
  add: 'Add a cycle at the end',
  full: 'Add a cycle (maximum {most})',
  stay: 'After the last cycle: stay',
  startAgain: 'After the last cycle: start again',
})
