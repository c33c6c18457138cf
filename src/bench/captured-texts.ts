import { texts } from '../words/texts.ts'

/** What a captured select line says by itself of a profile. */
export const t = texts('captured-lines', {
  allFirst:
    'Every phase is answered as in the first cycle: whatever the title makes of its samples, no count can spoil it.',
  fromNothing: 'With nothing counted before it, every phase is answered as in the first cycle.',
  later: {
    carries: {
      identification:
        'At edge {edge}, {at} into the capture, a {level} phase begins that can be cycle {cycle} {level}, which carries the identification: a title that takes its sample there for that of a first cycle can misread.',
      'end-mark':
        'At edge {edge}, {at} into the capture, a {level} phase begins that can be cycle {cycle} {level}, which carries the end mark: a title that takes its sample there for that of a first cycle can misread.',
      cells:
        'At edge {edge}, {at} into the capture, a {level} phase begins that can be cycle {cycle} {level}, which carries something else than cycle 1 ({cells}): a title that takes its sample there for that of a first cycle can misread.',
    },
  },
  cell: '{cell} on pin {pin}',
  unknown:
    'At {at} into the capture the level of the line becomes unknown: from there on every cycle count is possible.',
  glitch:
    'At {at} into the capture there is a pulse shorter than {least}, which a pad can count as a rising edge or miss: from there on every cycle count is possible.',
  hidden:
    'The line was sampled every {every}, and a title can move select twice between two samples: from its beginning on every cycle count is possible.',
  sampled: 'The line was sampled every {every}: pulses that are shorter can be missing from it.',
  cut: 'The line has more edges than are kept: it is judged up to {at} into the capture.',
  fromPowerOn: 'The capture begins at power-on, as you say: nothing was counted before it.',
  settlesAtOnce: 'What was counted before the capture makes no difference from its first edge on.',
  settles: {
    n: {
      one: 'What was counted before the capture makes no difference after {n} edge of {edges}.',
      other: 'What was counted before the capture makes no difference after {n} edges of {edges}.',
    },
  },
  settlesRightAtOnce: 'Whatever was counted before the capture, it is right from its first edge on.',
  settlesRight: {
    n: {
      one: 'Whatever was counted before the capture, it is right after {n} edge of {edges}.',
      other: 'Whatever was counted before the capture, it is right after {n} edges of {edges}.',
    },
  },
  neverSettles: 'What was counted before the capture can make a difference up to its end.',
  countsOnly:
    'Only counts are judged in a capture: its edges do not show when the title samples, so the reply time is not judged.',
})
