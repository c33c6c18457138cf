import { texts } from '../../words/texts.ts'

/** Why a value change dump was refused. */
export const t = texts('vcd', {
  notText: 'The file is not text: it has a byte of value {byte}.',
  notUtf8: 'The file is not text in UTF-8.',
  wordTooLong: 'The file has a word of more than {most} bytes; it is hardly a VCD.',
  tooManyChanges: 'The wire changes more than {most} times; cut the file into shorter ones.',

  empty: 'The file is empty.',
  headerCutOff: 'The file is cut off: its header has no $enddefinitions.',
  headerCutOffInside: 'The file is cut off inside {section}, before its header ended.',
  cutOffInside: 'The file is cut off inside {section}.',
  cutOffInValue: 'The file is cut off between a value and its identifier code.',

  noEnd: 'The {section} of line {line} has no $end.',
  endClosesNothing: 'This $end closes nothing.',
  beforeDefinitionsEnd: '{section} comes before $enddefinitions.',
  noSection: 'The header of a VCD is made of sections such as $timescale and $var; {word} opens none.',
  timescale: 'The $timescale is 1, 10 or 100 of s, ms, us, ns, ps or fs, not {found}.',
  otherTimescale: 'The $timescale {found} contradicts the one before it.',
  noTimescale: 'The header ends without a $timescale, so the times in the file mean nothing.',
  scope: 'A $scope takes a type and a name.',
  scopesTooDeep: 'The scopes are nested more than {most} deep.',
  upscope: 'An $upscope takes no words.',
  upscopeLeavesNone: 'This $upscope leaves no scope.',
  variable: 'A $var takes a type, a size, an identifier code and a name.',
  variableSize: 'The size in a $var is a number of bits, not {found}.',
  variableName: 'A $var ends with a name and perhaps a range such as [7:0], not {found}.',
  tooManyWires: 'The header declares more than {most} wires.',
  definitionsEnd: '$enddefinitions is closed by $end at once, not by {found}.',

  noWire: 'No wire is called {name}; one-bit wires here: {wires}.',
  noWireAtAll: 'No wire is called {name}; the file declares no one-bit wire.',
  severalWires: '{name} names different wires: {wires}; give the full path of one.',
  wireType: '{name} is of type {type}, not a wire.',
  wireWidth: '{name} is {bits} bits wide, not one.',
  andMore: '{wires} and more',

  extended: 'The file is an extended VCD, with strengths of ports; only the four-state format is read.',
  afterHeader: '{section} comes after the header has ended.',
  time: 'A time is a # and a whole number, not {found}.',
  timeTooLate: 'The time {found} is past 2^53 ns, about 104 days.',
  timeGoesBack: 'The time goes back from #{from} to #{to}.',
  noCode: 'The value {found} has no identifier code right after it.',
  neither: '{found} is neither a time nor a value change.',
  noValue: { kind: { vector: 'The vector {found} has no value.', real: 'The real {found} has no value.' } },
  doesNotFit: {
    kind: {
      vector: 'The vector given to {code} does not fit a wire of one bit.',
      real: 'The real given to {code} does not fit a wire of one bit.',
      string: 'The string given to {code} does not fit a wire of one bit.',
    },
  },
  undeclared: 'The header declares no wire with the identifier code {code}.',
})
