import { texts } from '../../words/texts.ts'

/** The Titles station. */
export const t = texts('titles', {
  titles: 'Titles',
  lead: 'How each title reads <strong>{profile}</strong>, over the whole range of timing that the title and the adapter allow. Margin is the time between a sample and the nearest change that would spoil it.',
  requiredMargin: 'Required margin',
  cable: 'Cable to the console',
  marginError: 'Enter a whole number from 0 to {max} ns.',

  removal: 'removal of {name}',
  removed: '{name} removed. Undo restores it.',
  copied: 'copy of {name}',
  copy: '{name}, copy',

  disclosure: { misread: { true: 'Why', false: 'With any pad' } },
  disclosureOf: { misread: { true: 'Why: {name}', false: 'With any pad: {name}' } },
  ifRight: 'if its figures are right ({asSaid} of {all} typed in, guessed or not recorded)',
  fragile: 'marked fragile',
  detectsSix: 'detects six buttons',
  neverReads: 'never reads {inputs}',
  see: 'See on the chart',
  seeOf: 'See on the chart: {name}',
  edit: 'Edit',
  editOf: 'Edit {name}',
  duplicate: 'Duplicate',
  duplicateOf: 'Duplicate {name}',
  export: 'Export',
  exportOf: 'Export {name}',
  remove: 'Remove',
  removeOf: 'Remove {name}',
  notes: 'All of the notes',
  loading: 'Loading …',
  unloaded: 'This could not be loaded. Check the network, then close and open it again.',

  add: 'Add a title of mine',
  openFile: 'Open a file',
  readCapture: 'Read a capture',
  symptoms: 'Diagnose by symptom',
  clearDemo: 'Clear the demo',
  layOutDemo: 'Lay out the demo',
})
