import { texts } from '../../words/texts.ts'

export const t = texts('stick', {
  sticks: 'Sticks',
  lead: 'A stick presses one of eight directions. The map shows its plane from above; the direction that is held is filled.',
  pressFrom: 'presses from here out',
  releaseWithin: 'releases within',
  fullTravel: 'full travel',
  keeps: 'keeps what is held',
  theStick: 'the stick',
  probeHint: 'a probe: click, drag, or arrow keys',

  stick: { side: { left: 'Left stick', right: 'Right stick' } },
  step: { side: { left: 'the left stick', right: 'the right stick' } },
  reset: 'Reset to defaults',
  resetOf: { side: { left: 'Left stick: reset to defaults', right: 'Right stick: reset to defaults' } },
  now: 'stick',
  probe: 'probe',
  probeOf: {
    side: {
      left: 'Probe of the left stick; arrows move it, with Shift further, Home to the middle',
      right: 'Probe of the right stick; arrows move it, with Shift further, Home to the middle',
    },
  },
  inMiddle: 'in the middle: holds nothing',
  at: '{percent} % out at {degrees}°: holds {directions}',
  nothing: 'nothing',

  gateOf: { side: { left: 'Gate of the left stick', right: 'Gate of the right stick' } },
  field: '<heard>{stick},</heard> {field}',
  slider: '{stick}, {field}, slider',

  map: {
    side: {
      left: 'Map of the left stick: {gate}, presses from {press} % of its travel, releases below {release} %.',
      right:
        'Map of the right stick: {gate}, presses from {press} % of its travel, releases below {release} %.',
    },
  },
  four: 'Four directions of {straight}° each; {band}° between two of them keep what is held.',
  eight:
    'Eight directions: straight ones of {straight}°, diagonals of {diagonal}°; {band}° between two of them keep what is held.',

  anglesOf: { side: { left: 'Angles of the left stick', right: 'Angles of the right stick' } },
  angles: 'Angles from 0° at the right, counted anticlockwise',
  holds: 'holds',
  fromMiddle: 'from the middle',
  takenOver: 'taken over',
  givenUp: 'given up outside',
  range: '{from} … {to}',
  steady: 'Steady up to movement of {borne} % of the stick’s travel.',
})

export const gateTexts = texts('stick-gates', {
  circle: 'circle',
  square: 'square',
  octagon: 'octagon',
})

/** As they are written on the map. */
export const directionTexts = texts('stick-directions', {
  up: 'Up',
  down: 'Down',
  left: 'Left',
  right: 'Right',
  'up-left': 'Up Left',
  'up-right': 'Up Right',
  'down-left': 'Down Left',
  'down-right': 'Down Right',
})

export const shareTexts = texts('stick-shares', {
  innerPercent: 'Press threshold',
  outerPercent: 'Full travel',
  diagonalPercent: 'Diagonal share',
  hysteresisPercent: 'Hysteresis',
})

export const shareHintTexts = texts('stick-share-hints', {
  innerPercent: 'A direction presses from this share of full travel.',
  outerPercent: 'Counts as full travel. Lower it for a worn stick.',
  diagonalPercent: 'At 0 there are only four directions.',
  hysteresisPercent: 'Movement smaller than this cannot cause chatter.',
})
