import { texts } from '../../words/texts.ts'

/** The layout that learning comes to, and setting it by hand. */
export const t = texts('learn-layout', {
  test: 'Press buttons on the pad to test the layout: what is held is filled.',
  gone: 'The pad is gone. Plug it in again to test the layout or to learn more.',
  toKnow: 'What to know',
  caption: 'Where each control is in the reports',
  control: 'Control',
  report: 'Report',
  location: 'Location',
  bits: 'Bits',
  values: 'Values',
  actions: 'Actions',
  relearn: 'Relearn',
  relearnOf: 'Relearn {control}',
  edit: 'Edit',
  editOf: 'Edit {control} by hand',
  remove: 'Remove',
  removeOf: 'Remove {control}',
  nothing: 'Nothing yet.',
  learnMissing: 'Learn missing controls',
  addByHand: 'Add a control by hand',
  name: 'Name of the pad',
  nameHint: 'At most {bytes} bytes: the adapter keeps it.',
  notes: 'Notes',
  forPad: {
    via: {
      hid: 'For the pad {numbers}.',
      vendor: 'For the pad {numbers}.',
      gamepad:
        'For this pad as the browser shows it, {numbers}, on this page only: the adapter cannot use it.',
    },
  },
  onlyDescriptor: 'Only for pads with this exact descriptor',
  onlyDescriptorHint:
    'For makers that give one number to several pads. This page cannot tell them apart; the adapter can.',
  replace: 'Replace {name}',
  saveAnother: 'Save as another layout',
  save: 'Save',
  close: 'Close',
  step: 'layout of {name}',
  saved: '{name} saved. This page uses it from now on.',
  noneFound: 'Nothing was found yet: learn a control, or add one by hand.',
  noName: 'Give the pad a name.',
  twice: 'Another row already has this control: change or remove that one.',
  reason: '{reason}.',

  byHand: 'Edit by hand',
  kind: 'Kind',
  place: '{place}, bit {bit}',
  placeInReport: '{place}, report {report}, bit {bit}',
  elsewhere: 'elsewhere: by the numbers below',
  signed: 'signed',
  now: 'now <b>{value}</b>',
  add: 'Add the control',
  apply: 'Apply the change',
  cancel: 'Cancel',
  heldAt: 'held at',
  releasedAt: 'released at',
  heldBy: 'held by',
  entries: 'entries',
  upFrom: 'up from',
  valuesEach: 'values each',
  positions: 'positions, 4 or 8',
  leftIs: 'left is',
  rightIs: 'right is',
  upIs: 'up is',
  downIs: 'down is',
  atRest: 'at rest',
  fieldReport: 'report',
  firstBit: 'first bit',
  fieldBits: 'bits',

  cross: {
    cross: {
      dpad: 'D-pad, all directions',
      'stick-left': 'Left stick as directions',
      'stick-right': 'Right stick as directions',
    },
  },
  axis: {
    stick: {
      left: { axis: { x: 'Left stick, left to right', y: 'Left stick, up to down' } },
      right: { axis: { x: 'Right stick, left to right', y: 'Right stick, up to down' } },
    },
  },
  byteAndBit: 'byte {byte}, bit {bit}',
  heldFromUp: 'held from {press} up, released at {release}',
  heldFromDown: 'held from {press} down, released at {release}',
  heldAtValue: 'held at {press}',
  heldInList: {
    count: {
      one: 'held while the one entry is {value}',
      other: 'held while one of {count} is {value}',
    },
  },
  hat: {
    step: {
      1: '{positions} positions clockwise, {first} is up',
      other: '{positions} positions clockwise, {step} values each, up from {first} on',
    },
  },
  range: '{low} to {high}, centre {centre}',
})

/** How a control is found. */
export const kindTexts = texts('extractor-kinds', {
  threshold: 'a value: a button or a trigger',
  hat: 'a hat switch: all four directions',
  axis: 'one axis of a stick',
  array: 'an entry in a list of what is held',
})

export const remarkTexts = texts('learn-remarks', {
  aside: {
    why: {
      counts: 'Ignored: {place} counts by itself.',
      restless: 'Ignored: {place} never rests; perhaps it is a motion sensor.',
      stuck: 'Ignored: {place} stayed pressed.',
      number: 'Ignored: {place} is one number with its neighbours.',
      unsigned: 'Ignored: {place} is not an unsigned number.',
    },
  },
  twoPlaces: '{control} shows in two fields; {taken} was taken, not {other}.',
  shared: '{one} is in the same field as {other}: both are held together.',
  weak: '{control} reaches only {percent} % of its range; it counts as held from half of that on.',
  weakEnd: {
    stick: {
      left: {
        way: {
          left: 'The left stick reaches only {percent} % of its range to the left; that counts as its end.',
          right: 'The left stick reaches only {percent} % of its range to the right; that counts as its end.',
          up: 'The left stick reaches only {percent} % of its range upwards; that counts as its end.',
          down: 'The left stick reaches only {percent} % of its range downwards; that counts as its end.',
        },
      },
      right: {
        way: {
          left: 'The right stick reaches only {percent} % of its range to the left; that counts as its end.',
          right:
            'The right stick reaches only {percent} % of its range to the right; that counts as its end.',
          up: 'The right stick reaches only {percent} % of its range upwards; that counts as its end.',
          down: 'The right stick reaches only {percent} % of its range downwards; that counts as its end.',
        },
      },
    },
  },
  drifts: {
    stick: {
      left: {
        axis: {
          x: 'The left stick rests at positions {percent} % of its range apart (left to right): it drifts. A higher press threshold in the profile helps.',
          y: 'The left stick rests at positions {percent} % of its range apart (up and down): it drifts. A higher press threshold in the profile helps.',
        },
      },
      right: {
        axis: {
          x: 'The right stick rests at positions {percent} % of its range apart (left to right): it drifts. A higher press threshold in the profile helps.',
          y: 'The right stick rests at positions {percent} % of its range apart (up and down): it drifts. A higher press threshold in the profile helps.',
        },
      },
    },
  },
  notRolled: {
    stick: {
      left: 'The left stick was not rolled round: its ends are taken from the report.',
      right: 'The right stick was not rolled round: its ends are taken from the report.',
    },
  },
  oddHat: {
    cross: {
      dpad: 'The D-pad has positions that do not follow each other: its diagonals are lost.',
      'stick-left': 'The left stick has positions that do not follow each other: its diagonals are lost.',
      'stick-right': 'The right stick has positions that do not follow each other: its diagonals are lost.',
    },
  },
  halfStick: {
    stick: {
      left: 'Only one axis of the left stick was found.',
      right: 'Only one axis of the right stick was found.',
    },
  },
})
