import { texts } from '../../words/texts.ts'

export const t = texts('port', {
  chart: 'Phase chart',
  lock: { locked: { true: 'Unlock the chart', false: 'Lock the chart' } },
  lead: {
    read: {
      true: 'Port of the console, read by <strong>{title}</strong>. Held: <strong>{held}</strong>. Filled means pressed.',
      false: 'Port of the console. Held: <strong>{held}</strong>. Filled means pressed.',
    },
  },
  nothing: 'nothing',
  commands: 'Commands for the whole chart',
  sixButtons: 'Six buttons',
  threeButtons: 'Three buttons',
  after: 'After the last cycle',
  stay: 'stay',
  startAgain: 'start again',
  titles: 'Titles',
  judged: 'Judged again on every edit. <verdict>Tight</verdict> reads right with less than {margin} margin.',
  add: 'Add a title of mine',
  latency: 'Latency',
  repeat: 'Auto-repeat as the title reads it',
  unloaded: 'This could not be loaded. Check the network, then close and open it again.',
})

/** Which read of the title the chart shows. */
export const readTexts = texts('port-reads', {
  label: 'Read on the chart',
  mode: 'Mode {n}',
  read: 'Read {n}',
  readOfMode: '{mode}, read {n}',
  outcome: { wrong: { true: '{read}: misread', false: '{read}' } },
  judgedHere: {
    verdict: {
      misread: 'The verdict is about this read.',
      margin: 'The verdict is about this read: it has the least margin.',
      any: 'The verdict is about all reads.',
    },
  },
  judgedElsewhere: {
    verdict: {
      misread: 'The verdict is about another read, which goes wrong: <show>Show {read}</show>',
      margin: 'The verdict is about another read, which has the least margin: <show>Show {read}</show>',
      any: 'The verdict is about all reads.',
    },
  },
  alsoWrong: 'This read goes wrong, too: <show>Show {read}</show>',
})

/** What an edit of the chart did, for the undo button. */
export const editTexts = texts('chart-edits', {
  cell: 'a cell of the chart',
  sixButtons: 'six buttons',
  threeButtons: 'three buttons',
  command: {
    kind: {
      'add-cycle': 'added cycle',
      'remove-cycle': 'removal of cycle {cycle}',
      'stop-after': 'stop after cycle {cycle}',
      'start-again': 'start again after the last cycle',
      stay: 'stay after the last cycle',
    },
  },
})
