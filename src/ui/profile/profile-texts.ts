import { texts } from '../../words/texts.ts'

export const t = texts('profile', {
  profile: 'Profile',
  name: 'Name',
  nameHint: 'At most {bytes} bytes: the adapter keeps it.',
  notes: 'Notes',
  notesHint: 'They stay here and in files; the adapter does not keep them.',
  nameStep: 'the name',
  notesStep: 'the notes',

  mapping: 'Mapping',
  mappingLead:
    'Which controls press each input. Filled means pressed now. “From the pad” takes the control that you press next. Auto-repeat presses and releases an input steadily while it is held, counted in the title’s reads (mostly one per frame) or in milliseconds.',
  portInput: 'port input',
  pressedBy: 'pressed by',
  autoRepeat: 'auto-repeat',
  mappingStep: 'what presses {input}',

  repeat: 'repeat',
  repeatOf: 'Auto-repeat of {input}',
  on: 'on',
  off: 'off',
  pressedFor: { kind: { reads: '{input}: reads pressed', time: '{input}: ms pressed' } },
  releasedFor: { kind: { reads: '{input}: reads released', time: '{input}: ms released' } },
  counts: '{input}: what the repeat counts',
  countedIn: { kind: { reads: 'reads', time: 'ms' } },
  titleSees: '{title}: {finding}',
  titleNeverSamples: '{title}: never samples it',
  toPort: 'on the Port',
  toPortOf: 'On the Port: what it sees of {input}',

  controlsFor: 'Controls for {subject}',
  inputsOf: 'Inputs of {subject}',
  addControl: 'Add a control to {subject}',
  addInput: 'Add an input to {subject}',
  add: 'add …',
  takeFrom: 'Remove {name} from {subject}',
  joiner: { joiner: { or: 'or', and: 'and' } },
  nothing: 'nothing',
  listen: { listening: { true: 'press it now …', false: 'from the pad' } },
  listenFor: {
    listening: { true: 'press it now …, for {subject}', false: 'from the pad, for {subject}' },
  },

  remove: 'Remove',

  chords: 'Chords',
  chordsLead:
    'Controls pressed together press other inputs than each alone. Each waits up to the set time for the others before it counts alone.',
  chord: 'Chord {n}',
  theChord: 'chord {n}',
  within: 'within <ms>ms</ms>:',
  withinOf: 'Chord {n}: within',
  removeChord: 'Remove chord {n}',
  addChord: 'Add a chord',
  mostChords: { n: { one: '{n} chord at most', other: '{n} chords at most' } },
  chordStep: 'a chord',
  addChordStep: 'a chord more',
  removeChordStep: 'a chord less',
  alone: '{inputs} ({control})',
  costs: {
    n: {
      one: '{controls} alone is delayed by up to {wait} ms.',
      other: '{controls}, each alone, are delayed by up to {wait} ms.',
    },
  },
  costsNothing: {
    n: {
      one: '{controls} alone is not delayed: the chord counts only if all of it comes in one report.',
      other:
        '{controls}, each alone, are not delayed: the chord counts only if all of it comes in one report.',
    },
  },

  layers: 'Layers',
  layersLead:
    'A layer overrides part of the mapping while it is on; inputs that it does not list inherit the mapping below. Of several layers that are on, the last one that lists an input decides.',
  layer: 'Layer {n}',
  theLayer: 'layer {n}',
  turnedOn: 'Layer {n}: how it is turned on',
  turns: { kind: { held: 'on while held:', toggled: 'turned on and off by:' } },
  removeLayer: 'Remove layer {n}',
  inputInLayer: '{input} in layer {n}',
  turnedOff: 'off',
  inherit: 'inherit',
  inheritOf: 'Inherit {input} in layer {n}',
  override: 'override an input …',
  overrideIn: 'Override an input in layer {n}',
  addLayer: 'Add a layer',
  mostLayers: { n: { one: '{n} layer at most', other: '{n} layers at most' } },
  layerStep: 'a layer',
  addLayerStep: 'a layer more',
  removeLayerStep: 'a layer less',

  oppositeAndTiming: 'Opposite directions and timing',
  vertical: 'Up and Down together',
  horizontal: 'Left and Right together',
  oppositeStep: 'opposite directions',
  idleReset: 'Idle reset',
  idleResetHint:
    'The cycle count restarts after this long without a rising edge. About 1500 µs, a tenth of a frame; models range from 1100 to 1800 (from memory).',
  idleResetStep: 'the idle reset',
  delay: 'Added delay',
  delayHint:
    '0 to {most} ns in steps of {step}. Adds between once and twice this figure to the adapter’s own reply time.',
  delayStep: 'the delay',
  noNumber: 'Enter a number.',

  rules: 'Rules',
  neverComes: 'never applies: rule {earlier} of this list always matches first',
  atPowerOn: 'At power-on',
  powerOnLead:
    'Checked once, 0.5 s after the pad’s first report. The first rule whose controls are all held applies, from the next idle reset on.',
  with: 'with',
  powerOnRule: 'power-on rule {n}',
  powerOnThen: 'Power-on rule {n}: then',
  firstCycleOnly: 'stay on the first cycle for good',
  useBank: 'use bank {bank}',
  removePowerOn: 'Remove power-on rule {n}',
  addPowerOn: 'Add a power-on rule',
  mostPowerOn: { n: { one: '{n} rule at most', other: '{n} rules at most' } },
  powerOnStep: 'a power-on rule',

  whilePlaying: 'Changing the bank while playing',
  bankChangeLead:
    'Hold all controls of a rule for its time. A bank is one of the adapter’s four memory slots, each with a profile of its own; the rules of the active profile decide which bank takes over.',
  bankChange: 'bank change {n}',
  heldFor: 'for <ms>ms</ms>:',
  heldForOf: 'Bank change {n}: held for',
  bankChangeThen: 'Bank change {n}: then',
  bank: 'bank {bank}',
  otherBank: { target: { next: 'the next bank', previous: 'the previous bank' } },
  removeBankChange: 'Remove bank change {n}',
  addBankChange: 'Add a bank change',
  mostBankChanges: { n: { one: '{n} bank change at most', other: '{n} bank changes at most' } },
  bankChangeStep: 'a bank change',

  conflicts: 'Conflicts',
  conflict: {
    kind: { fault: '<heard>fault:</heard> {sentence}', note: '<heard>note:</heard> {sentence}' },
  },
  count: { n: { 0: 'No conflicts', one: '{n} conflict: {kinds}', other: '{n} conflicts: {kinds}' } },
  faults: { n: { one: '{n} fault', other: '{n} faults' } },
  notesCount: { n: { one: '{n} note', other: '{n} notes' } },
  probablyMeant: { n: { one: '{n} note, likely intended', other: '{n} notes, likely intended' } },
})

/** What a profile does with opposite directions that are held at once. */
export const policyTexts = texts('opposite-policies', {
  'as-held': 'pass both',
  neutral: 'pass neither',
  first: 'first pressed wins',
  last: 'last pressed wins',
})

export const shelfTexts = texts('shelf-list', {
  shelf: 'Shelf',
  summary: '{chart}, rev {revision}',
  add: 'Add a profile',
  from: 'Start from',
  duplicate: 'Duplicate',
  duplicateOf: 'Duplicate {name}',
  copyName: '{name}, copy',
  export: 'Export',
  exportOf: 'Export {name}',
  remove: 'Remove',
  removeOf: 'Remove {name}',
  removed: '{name} removed. Undo restores it.',
  open: 'Open a file',
  exportImage: 'Export the image',
  saveShelf: 'Save the whole shelf',
  files:
    'The image is what the adapter keeps: the profile without its notes. Files can be dropped anywhere on the page, and text pasted; an invalid file changes nothing.',
  addStep: 'a new profile',
  copyStep: 'copy of {name}',
  removeStep: 'removal of {name}',

  unreadable: 'Records that cannot be read',
  leftAlone: 'They are left unchanged: a newer version of Ninepin can perhaps read them.',
  record: '{key}: {reason}.',
  save: 'Save as a file',
  saveOf: 'Save as a file: {key}',
  ask: 'Remove this record?',
  deletes:
    'This deletes {key} from this browser. It cannot be undone. Save it as a file first if you could need it.',
  removeIt: 'Remove it',
})
