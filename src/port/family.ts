import type { Cell, Chart, Cycle, Phase } from './chart.ts'
import { PINS } from './pins.ts'

/**
 * The replies of the select-line pad port.
 * Source: common practice, no source (port table and six-button table, repeated in DEVELOPERS.md).
 */

/** A phase from its six cells in the order of pins 1 2 3 4 6 9. */
const phase = (...cells: [Cell, Cell, Cell, Cell, Cell, Cell]): Phase =>
  Object.fromEntries(PINS.map((pin, k) => [pin, cells[k]])) as unknown as Phase

/** What a three-button pad answers in every cycle. */
export const THREE_BUTTON_CYCLE: Cycle = {
  high: phase('up', 'down', 'left', 'right', 'b', 'c'),
  low: phase('up', 'down', 'low', 'low', 'a', 'start'),
}

/** Third cycle of a six-button pad: the low phase says "six buttons here". */
const IDENTIFICATION: Cycle = {
  high: THREE_BUTTON_CYCLE.high,
  low: phase('low', 'low', 'low', 'low', 'a', 'start'),
}

/** Fourth cycle: the extra buttons, then the end mark. */
const EXTRA_BUTTONS: Cycle = {
  high: phase('z', 'y', 'x', 'mode', 'b', 'c'),
  low: phase('high', 'high', 'high', 'high', 'a', 'start'),
}

/** After the last cycle, three-button replies until the idle reset (the default). */
const STAY = { kind: 'stay', reply: THREE_BUTTON_CYCLE } as const

export const THREE_BUTTON_CHART: Chart = { cycles: [THREE_BUTTON_CYCLE], after: STAY }

export const SIX_BUTTON_CHART: Chart = {
  cycles: [THREE_BUTTON_CYCLE, THREE_BUTTON_CYCLE, IDENTIFICATION, EXTRA_BUTTONS],
  after: STAY,
}

/** Idle reset of the built-in profiles: about 1.5 ms without a rising edge; from memory, models differ between 1.1 and 1.8 ms. */
export const USUAL_IDLE_RESET_NS = 1_500_000
