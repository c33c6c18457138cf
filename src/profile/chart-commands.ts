import { MAX_CYCLES } from '../port/chart.ts'
import type { After, Cell, Chart, Cycle } from '../port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../port/family.ts'
import type { Level, Pin } from '../port/pins.ts'

/** Edits of the phase chart. Each gives a new chart; there is nothing to a chart but its cells. */

/** A cell by its place: a cycle of the chart (from 0), or `after` for the reply that stays. */
export interface CellRef {
  readonly cycle: number | 'after'
  readonly level: Level
  readonly pin: Pin
}

const withCell = (cycle: Cycle, { level, pin }: CellRef, cell: Cell): Cycle => ({
  ...cycle,
  [level]: { ...cycle[level], [pin]: cell },
})

/** Puts `cell` in a place. A place that the chart does not have leaves it as it is. */
export function setCell(chart: Chart, ref: CellRef, cell: Cell): Chart {
  if (ref.cycle === 'after') {
    if (chart.after.kind !== 'stay') return chart
    return { ...chart, after: { kind: 'stay', reply: withCell(chart.after.reply, ref, cell) } }
  }
  return {
    ...chart,
    cycles: chart.cycles.map((cycle, k) => (k === ref.cycle ? withCell(cycle, ref, cell) : cycle)),
  }
}

/** What a three-button pad carries in that place. */
export const plainCell = ({ level, pin }: CellRef): Cell => THREE_BUTTON_CYCLE[level][pin]

/** The chart of a six-button pad, keeping what is chosen for after the last cycle. */
export const sixButtons = (chart: Chart): Chart => ({ ...SIX_BUTTON_CHART, after: chart.after })

/** Keeps the first `count` cycles (one at least, as many as *stay* allows) and answers with the three-button reply afterwards. */
export const stopAfter = (chart: Chart, count: number): Chart => ({
  cycles: chart.cycles.slice(0, Math.min(Math.max(1, count), MAX_CYCLES.stay)),
  after: { kind: 'stay', reply: THREE_BUTTON_CYCLE },
})

/** Puts a cycle of three-button replies behind the last, up to what the adapter holds. */
export const addCycle = (chart: Chart): Chart =>
  chart.cycles.length < MAX_CYCLES[chart.after.kind]
    ? { ...chart, cycles: [...chart.cycles, THREE_BUTTON_CYCLE] }
    : chart

/** Takes a cycle away, counted from 0; the only one stays. */
export const removeCycle = (chart: Chart, cycle: number): Chart =>
  chart.cycles.length > 1 ? { ...chart, cycles: chart.cycles.filter((_, k) => k !== cycle) } : chart

/** Chooses what comes after the last cycle; a cycle too many for *stay* goes. */
export function setAfter(chart: Chart, kind: After['kind']): Chart {
  if (kind === chart.after.kind) return chart
  const after: After = kind === 'stay' ? { kind, reply: THREE_BUTTON_CYCLE } : { kind }
  return { cycles: chart.cycles.slice(0, MAX_CYCLES[kind]), after }
}
