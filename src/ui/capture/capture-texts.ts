import { texts } from '../../words/texts.ts'

export const t = texts('capture', {
  title: 'Read pattern from a capture',
  ask: 'A capture of select, pin 7 of the port, shows how a title reads. Record some seconds while the title is played, and save it as a dump (.vcd) or as a session (.sr).',
  choose: 'Choose a capture',
  tryDemo: 'Try a capture from the museum',
  demoFault: 'The museum’s capture could not be fetched. Check the network and try again.',
  file: {
    waiting: {
      0: '<file>{file}</file>, {size}',
      one: '<file>{file}</file>, {size}; {waiting} more to come',
      other: '<file>{file}</file>, {size}; {waiting} more to come',
    },
  },
  line: 'Select line',
  chooseLine: 'Choose a line',
  unlisted: {
    n: {
      one: '{n} more line is not listed. Save a capture with fewer lines to choose it.',
      other: '{n} more lines are not listed. Save a capture with fewer lines to choose one of them.',
    },
  },
  fromPowerOn: 'Begins at power-on',
  fromPowerOnHint:
    'Check this if the console was switched on during the capture, before its first edge. Edges do not show it.',
  dataLines: {
    n: {
      0: 'Data lines: none assigned',
      one: 'Data lines: {n} assigned',
      other: 'Data lines: {n} assigned',
    },
  },
  dataHint:
    'Say which pin of the port each line was captured from. The pad is then measured, too: its reply time, its idle reset, and what was held.',
  dataLine: 'Pin of {line}',
  assignedTwice: 'Pin {pin} has more than one line, so none of them is read. Assign it to one.',
  noPin: 'none',
  pin: 'pin {pin}',
  name: 'Name of the title',
  nameFault: '{fault}.',
  cancelled: 'Cancelled. Nothing was changed.',
  readAfterAll: 'Read the capture',
  verdict:
    '<strong>{profile}</strong>, the open profile: {reason} <soft>This holds if the guesses below are right.</soft>',
  byItself: 'The capture by itself, whatever the title samples: {said} <soft>{limit}</soft>',
  seen: 'Seen in the edges',
  guessed: 'Not seen in the edges',
  pad: 'The pad in the capture',
  noPad:
    'No data line of this capture is assigned to a pin. With data lines, the pad is measured, too: its reply time, its idle reset, and what was held. Lines called pin1, pin2, pin3, pin4, pin6 and pin9 are assigned by themselves.',
  correct: 'Correct what you know in the title’s form.',
  cancel: 'Cancel',
  close: 'Close',
  put: 'Put it on the shelf',

  step: '{title} from {file}',
  isPut: '{title} is among the titles.',

  opening: 'Opening',
  reading: 'Reading',
  readingOf: 'Reading: {progress}',
  looking: 'Looking for reads and frames',
  progress: '{percent} %, {read} of {size}',
  percentRead: '{percent} % read',
  isCancelled: 'Cancelled.',
  found: 'A read pattern was found.',
  notFound: 'No read pattern was found.',

  drawn: 'Select in one of the reads, {ms} ms into the capture; cycles by number.',
  range: '{min} to {max}',
  read: {
    rest: {
      low: {
        n: {
          one: 'Select idles low; the read has {n} edge in {length}, {apart} apart.',
          other: 'Select idles low; the read has {n} edges in {length}, {apart} apart.',
        },
      },
      high: {
        n: {
          one: 'Select idles high; the read has {n} edge in {length}, {apart} apart.',
          other: 'Select idles high; the read has {n} edges in {length}, {apart} apart.',
        },
      },
    },
  },
})

/** Said where the file is read, in a worker. */
export const fileTexts = texts('capture-file', {
  unread: 'the file could not be read to its end. Perhaps it has moved or changed: choose it again.',
})
