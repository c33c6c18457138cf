import { texts } from '../../words/texts.ts'

/** What a change does, as an order within a line. */
export const changeTexts = texts('changes', {
  removeDelay: 'remove the added delay of {now}',
  delay: 'set the added delay to {to} instead of {now}',
  idleReset: 'set the idle reset to {to} instead of {now}',
  opposite: {
    axis: {
      vertical: 'let Up with Down count as neither',
      horizontal: 'let Left with Right count as neither',
    },
  },
  firstCycle: 'hold {controls} at power-on, so that only the first cycle replies',
  after: { after: { stay: 'stay after the last cycle', 'start-again': 'start again after the last cycle' } },
  stopAfter: 'stop after the {nth} cycle',
  cell: 'put {cell} on pin {pin} in cycle {cycle} {level} instead of {before}',
  cellAfter: 'put {cell} on pin {pin} in the {level} phase after the last cycle instead of {before}',
})

/** What a fix gives up. */
export const tradeOffTexts = texts('trade-offs', {
  none: 'no trade-offs',
  are: { n: { one: 'trade-off: {all}', other: 'trade-offs: {all}' } },
  lostHere: { titles: { one: 'this title loses {inputs}', other: 'these titles lose {inputs}' } },
  lost: 'six-button titles lose {inputs}',
  hold: 'must be held at every power-on',
  opposite: {
    axis: {
      vertical: 'Up with Down presses neither',
      horizontal: 'Left with Right presses neither',
    },
  },
  cell: 'the phase chart no longer matches an original pad',
})
