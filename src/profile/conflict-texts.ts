import { texts } from '../words/texts.ts'

/** What is wrong or unreachable in a profile. */
export const t = texts('conflicts', {
  noControl: '{input} has no control. Map one if the title needs it.',
  notShown: '{input} is pressed, but no cell of the chart shows it.',
  neverPressed: '{input} can never be pressed: something else always blocks it.',
  repeats: '{input} repeats, so a direction that is held stutters.',

  opposite: '{control} presses {inputs} at once: remove one of them.',
  oppositeInLayer: '{control} presses {inputs} at once in layer {layer}: remove one of them.',
  together: '{control} presses {inputs} together.',
  togetherInLayer: '{control} presses {inputs} together in layer {layer}.',

  emptyLayer: 'Layer {layer} overrides nothing, so it has no effect.',
  pressesToo:
    '{control} turns layer {layer} on and also presses {inputs}. Turn that off in the layer unless it is intended.',
  overridden:
    'Layer {layer} has no effect: whenever it is on, layer {over} is on and overrides the same inputs.',
  withoutStart: 'While layer {layer} is on, nothing presses {start}.',

  sameChord: 'Chord {chord} never comes on: chord {other} has the same controls and is checked first.',
  takenChord:
    'Chord {chord} never comes on: its controls are taken by chord {other}, which is checked first. Move it up.',
  lateChord:
    'Chord {chord} can hardly be reached: chord {other} lies within it and is checked first. Move it up.',
  widerChord: 'Chord {chord} comes on only if all its controls come at once: chord {other} lies within it.',
  oppositeInChord: 'Chord {chord} presses {inputs} at once: remove one of them.',
  alsoBankChange: 'Chord {chord} held for {ms} ms is also bank change {rule}.',
  alsoPowerOn: 'Chord {chord} held at power-on is also power-on rule {rule}.',
  delayed: '{control} is delayed by up to {ms} ms, because it waits for a chord.',

  idleStick: { stick: { left: 'The left stick does nothing.', right: 'The right stick does nothing.' } },
  idleWays: {
    stick: {
      left: {
        n: {
          one: 'The left stick does nothing on its way {ways}.',
          other: 'The left stick does nothing on its ways {ways}.',
        },
      },
      right: {
        n: {
          one: 'The right stick does nothing on its way {ways}.',
          other: 'The right stick does nothing on its ways {ways}.',
        },
      },
    },
  },
  up: 'up',
  down: 'down',
  left: 'left',
  right: 'right',
})
