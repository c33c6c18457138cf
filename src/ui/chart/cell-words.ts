import type { Cell, Chart } from '../../port/chart.ts'
import type { Contact } from '../connector/contacts.ts'
import type { Column } from './chart-columns.ts'

/** The key that puts each cell; an input answers to its first letter. */
export const CELL_KEYS: Readonly<Record<Cell, string>> = {
  up: 'U',
  down: 'D',
  left: 'L',
  right: 'R',
  a: 'A',
  b: 'B',
  c: 'C',
  start: 'S',
  x: 'X',
  y: 'Y',
  z: 'Z',
  mode: 'M',
  low: '0',
  high: '1',
}

/** A lane by its name: `select`, `pin 4`. */
export const laneWord = (contact: Contact): string => (contact === 7 ? 'select' : `pin ${contact}`)

/** The cycle a column belongs to, as its head says it. */
export function cycleWord(chart: Chart, column: Column): string {
  if (column.source === 'after') return 'afterwards'
  const word = `cycle ${column.source + 1}`
  return column.cycle >= chart.cycles.length ? `${word} again` : word
}

/** The same in the narrow gutter of the turned chart. */
export function cycleShortWord(chart: Chart, column: Column): string {
  if (column.source === 'after') return 'after'
  return column.cycle >= chart.cycles.length ? `${column.source + 1} again` : `cycle ${column.source + 1}`
}

/** A column in full: `cycle 3 low`. */
export const columnWord = (chart: Chart, column: Column): string =>
  `${cycleWord(chart, column)} ${column.level}`

/** Decimal places that keep neighbours on an axis apart. */
const places = (spanNs: number, unitNs: number) =>
  spanNs / unitNs >= 100 ? 0 : spanNs / unitNs >= 10 ? 1 : 2

/** A time in the unit that suits the span of its axis: `13.0`, and the unit for the last label. */
export function axisWord(timeNs: number, spanNs: number): { number: string; unit: string } {
  const [unitNs, unit] = spanNs >= 1_000_000 ? [1_000_000, 'ms'] : [1_000, 'µs']
  return { number: timeNs === 0 ? '0' : (timeNs / unitNs).toFixed(places(spanNs, unitNs)), unit }
}
