import { texts } from '../../words/texts.ts'

export const t = texts('pad', {
  loading: 'Loading …',
  noLearnSheet: 'Learning could not be loaded. Check the network, then open it again.',
  noLiveView: 'The live view could not be loaded. Check the network, then open the Pad station again.',

  pad: 'Pad',
  connected: {
    read: {
      reports: '<strong>{pad}</strong> connected, read by its own reports. Filled means held.',
      learned: '<strong>{pad}</strong> connected, read as it was learned. Filled means held.',
      standard: '<strong>{pad}</strong> connected, read as this browser knows it. Filled means held.',
      'in-order':
        '<strong>{pad}</strong> connected, read in the browser’s order of buttons. Filled means held.',
    },
  },
  pressAny: 'Press any button on your pad to show it here: browsers hide a pad until then.',
  held: 'held on the pad',
  pressed: 'pressed on the port',
  nothing: 'nothing',

  pads: 'Pads',
  source: 'Input source',
  lastPressed: 'the one pressed last',
  useKeyboard: 'Use the keyboard as a pad',
  useKeyboardHint: 'While nothing else has the focus: {keys}.',
  toKnow: 'What to know',
  unknownPad:
    '<b>The browser does not know this pad.</b> Buttons are taken in the browser’s order, so one can light up in the wrong place. Learn the pad to correct this.',
  byPosition: 'Controls are named by their position, not by what is printed on them.',
  sticks: 'Sticks become directions as the open profile says.',
  letters: 'The letters on the drawing are the inputs that each control presses with the open profile.',
  onlyDisplays: 'In use, the adapter reads the pad by itself; this page only displays.',

  noneLearned:
    'No pads learned yet. A pad that the browser knows works on this page as it is; for the adapter it must be learned once, in about a minute.',
  learn: { begun: { true: 'Continue learning', false: 'Learn a pad' } },
  openLayout: 'Open a layout file',

  layout: {
    via: {
      hid: '{numbers}, {finds}, read by its own reports',
      vendor: '{numbers}, {finds}, read as a pad of the vendor class',
      gamepad: '{numbers}, {finds}, read as this browser shows it, not at the adapter',
    },
  },
  controls: { n: { one: '{n} control', other: '{n} controls' } },
  sticksFound: { n: { one: '{n} stick', other: '{n} sticks' } },
  inUse: 'in use',
  name: 'Name',
  nameHint: 'At most {bytes} bytes: the adapter keeps it.',
  notes: 'Notes',
  notesHint: 'They stay here and in files; the adapter does not keep them.',
  nameStep: 'the name of a pad',
  notesStep: 'the notes of a pad',
  refused: '{reason}.',
  use: 'Use it here',
  useOf: 'Use it here: {name}',
  edit: 'Edit name and notes',
  editOf: 'Edit name and notes of {name}',
  export: 'Export',
  exportOf: 'Export {name}',
  remove: 'Remove',
  removeOf: 'Remove {name}',
  removal: 'removal of {name}',
  removed: '{name} removed. Undo restores it.',
  noneChosen: 'Nothing was chosen. Plug the pad in and choose it in the browser’s list.',
  notOpened:
    'The system does not let this browser open the pad. Close other programs that use it, then plug it in again.',
  mayNotAsk:
    'The browser does not let this page ask for devices. The pad still plays as the browser shows it.',
})
