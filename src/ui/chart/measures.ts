import type { Reading } from '../../bench/reading.ts'
import type { Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'

/** Narrower than this, or with less than this for a column, and the chart turns by a quarter. */
const LEAST_WIDTH = 560
const LEAST_COLUMN = 40

export interface Measures {
  readonly turned: boolean
  /** Along time. */
  readonly lead: number
  readonly column: number
  readonly again: number
  /** Room after the column of the guilty or the tight sample for its note; only the turned chart needs it. */
  readonly note: number
  /** Across. */
  readonly head: number
  readonly select: number
  /** From low to high on the lane of select. */
  readonly selectSwing: number
  readonly lane: number
  readonly cell: number
  readonly samples: number
  readonly point: number
}

/** The measures that suit a width: of the drawing as it is, or turned by a quarter. */
export function measures(width: number, count: number, chart: Chart, reading: Reading | undefined): Measures {
  const startsAgain = chart.after.kind === 'start-again'
  const lead = 68
  const again = startsAgain ? 84 : 2
  const column = Math.floor((width - lead - again) / count)
  if (width >= LEAST_WIDTH && column >= LEAST_COLUMN)
    return {
      turned: false,
      lead,
      column,
      again,
      note: 0,
      head: 24,
      select: 44,
      selectSwing: 24,
      lane: 42,
      cell: 28,
      samples: reading ? 52 : 0,
      point: 5,
    }
  const head = 42
  const samples = reading ? 18 : 4
  // On the narrowest paper the lanes touch and select has less of a swing, so that the words still fit.
  const roomy = Math.floor((width - head - samples - 30) / PINS.length)
  const isTight = roomy < 36
  const select = isTight ? 22 : 30
  const lane = isTight ? Math.floor((width - head - samples - select) / PINS.length) : Math.min(64, roomy)
  return {
    turned: true,
    lead: 28,
    column: 34,
    again: startsAgain ? 34 : 6,
    note: reading?.guilty || reading?.tight ? 22 : 0,
    head,
    select,
    selectSwing: isTight ? 12 : 16,
    lane,
    cell: isTight ? lane - 1 : lane - 4,
    samples,
    point: 4,
  }
}
