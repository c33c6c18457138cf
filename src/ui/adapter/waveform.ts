import type { MeasuredPins, ReadStimulus } from '../../bench/measured.ts'
import { PINS } from '../../port/pins.ts'
import { laneWord } from '../chart/cell-words.ts'
import { SELECT_CONTACT } from '../connector/contacts.ts'

/** One lane of the waveform. */
export interface Trace {
  readonly label: string
  /** An SVG path in a box of 1000 by 20: high is above. */
  readonly path: string
  /** Level changes, for those who do not see the drawing. */
  readonly changes: number
}

const WIDTH = 1000
const HIGH_Y = 3
const LOW_Y = 17

type Step = { readonly atNs: number; readonly high: boolean }

function trace(label: string, start: boolean, steps: readonly Step[], endNs: number): Trace {
  const y = (high: boolean) => (high ? HIGH_Y : LOW_Y)
  let level = start
  let changes = 0
  let path = `M0 ${y(level)}`
  for (const { atNs, high } of steps) {
    if (high === level) continue
    path += `H${((atNs / endNs) * WIDTH).toFixed(2)}V${y(high)}`
    level = high
    changes++
  }
  return { label, path: `${path}H${WIDTH}`, changes }
}

/** Select as it was moved, and the six pins as they were measured. */
export function tracesOf({ rest, edges, endNs }: ReadStimulus, { start, changes }: MeasuredPins): Trace[] {
  const select = edges.map(({ atNs, level }) => ({ atNs, high: level === 'high' }))
  return [
    trace(laneWord(SELECT_CONTACT), rest === 'high', select, endNs),
    ...PINS.map((pin, k) =>
      trace(
        laneWord(pin),
        ((start >> k) & 1) === 1,
        changes.map(({ atNs, pins }) => ({ atNs, high: ((pins >> k) & 1) === 1 })),
        endNs,
      ),
    ),
  ]
}
