import type { Cell, Chart } from '../../port/chart.ts'
import { SELECT_CONTACT } from '../connector/contacts.ts'
import type { Contact } from '../connector/contacts.ts'
import { inputTexts } from '../../port/input-texts.ts'
import { figure } from '../../words/texts.ts'
import type { Column } from './chart-columns.ts'
import { t } from './chart-texts.ts'

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
export const laneWord = (contact: Contact): string =>
  contact === SELECT_CONTACT ? t.select : t.pin({ pin: contact })

/** Which cycle a column shows: the chart's own, that one once more, or what stays afterwards. */
function shown(chart: Chart, { source, cycle }: Column) {
  if (source === 'after') return { kind: 'after', n: cycle + 1 } as const
  return { kind: cycle >= chart.cycles.length ? 'again' : 'own', n: source + 1 } as const
}

/** The cycle a column belongs to, as its head says it. */
export const cycleWord = (chart: Chart, column: Column): string => t.cycle(shown(chart, column))

/** The same in the narrow gutter of the turned chart. */
export const cycleShortWord = (chart: Chart, column: Column): string => t.shortCycle(shown(chart, column))

/** A column in full: `cycle 3 low`. */
export const columnWord = (chart: Chart, column: Column): string =>
  t.column({ ...shown(chart, column), level: inputTexts[column.level] })

/** Decimal places that keep neighbours on an axis apart. */
const places = (spanNs: number, unitNs: number) =>
  spanNs / unitNs >= 100 ? 0 : spanNs / unitNs >= 10 ? 1 : 2

/** A time in the unit that suits the span of its axis: `13.0`, and the unit for the last label. */
export function axisWord(timeNs: number, spanNs: number): { number: string; unit: string } {
  const [unitNs, unit] = spanNs >= 1_000_000 ? [1_000_000, 'ms'] : [1_000, 'µs']
  return { number: figure(timeNs / unitNs, timeNs === 0 ? 0 : places(spanNs, unitNs)), unit }
}
