import { repliesOf } from '../port/chart.ts'
import type { Chart } from '../port/chart.ts'
import { PINS } from '../port/pins.ts'
import type { Level } from '../port/pins.ts'
import type { RangeNs } from '../port/range.ts'
import type { Profile } from '../profile/schema.ts'
import { idleResetRange } from './box.ts'
import type { StatedAdapter } from './judgement.ts'
import { rowAfter, shapeOf } from './reach/shape.ts'

/** How far an analyser's clock is taken to be off, in parts per million: crystals of such devices are good to about this (from memory). */
const ANALYSER_PPM = 100

/**
 * From a rise to the idle reset, as a captured line shows it.
 *
 * @param sampledNs time between two samples of the analyser, in ns
 */
export function capturedReset(
  profile: Pick<Profile, 'idleResetNs'>,
  adapter: StatedAdapter,
  sampledNs = 0,
): RangeNs {
  const { minNs, maxNs } = idleResetRange(profile, adapter)
  const offNs = (ns: number) => Math.ceil((Math.abs(ns) * ANALYSER_PPM) / 1e6 + sampledNs)
  return { minNs: minNs - offNs(minNs), maxNs: maxNs + offNs(maxNs) }
}

/** Sets of rows are bits, bit `k` for row `k`: a chart has few rows and a line can have millions of edges. */
type Rows = number
const FIRST: Rows = 1
/** After so many rises each row has come. */
const MOST_ROWS = 31

/** Which rows of a chart answer otherwise than its first cycle, and what follows on what. */
export class CountedRows {
  readonly all: Rows
  /** Whether any phase of any row is answered otherwise than in the first cycle. */
  readonly hasLater: boolean
  readonly #later: Readonly<Record<Level, Rows>>
  /** By set of rows: those after one more rise. */
  readonly #next: Uint8Array

  constructor(chart: Chart) {
    const replies = repliesOf(chart)
    const shape = shapeOf(chart)
    const rowsWhere = (holds: (row: number) => boolean): Rows =>
      replies.reduce((rows, _, row) => (holds(row) ? rows | (1 << row) : rows), 0)
    const later = (level: Level): Rows =>
      rowsWhere((row) => PINS.some((pin) => replies[row]?.[level][pin] !== replies[0]?.[level][pin]))
    this.#later = { low: later('low'), high: later('high') }
    this.hasLater = (this.#later.low | this.#later.high) !== 0
    this.all = rowsWhere(() => true)
    this.#next = Uint8Array.from({ length: this.all + 1 }, (_, rows) =>
      replies.reduce((next, _, row) => (rows & (1 << row) ? next | (1 << rowAfter(shape, row)) : next), 0),
    )
  }

  next(rows: Rows): Rows {
    return this.#next[rows] as Rows
  }

  /** Whether some phase of so many cycles of select, counted from nothing, can be answered otherwise than in the first one. */
  isLaterIn(cycles: number, idle: Level): boolean {
    const most = Math.min(cycles, MOST_ROWS)
    let rows = FIRST
    for (let rises = 0; rises <= most; rises++) {
      // From idle high the last low phase comes before the last rise.
      const isLow = idle === 'low' || rises < cycles
      if (this.later(rows, 'high') !== null || (isLow && this.later(rows, 'low') !== null)) return true
      rows = this.next(rows)
    }
    return false
  }

  /** The first of these rows that answers otherwise than the first cycle; `null` where none does. */
  later(rows: Rows, level: Level): number | null {
    const later = rows & this.#later[level]
    return later === 0 ? null : 31 - Math.clz32(later & -later)
  }
}

/**
 * All that a pad can have counted while a line is walked edge by edge, each idle reset at any time in its range. Every rise has its own
 * reset; an edge at the very instant of one comes after it.
 */
export class CountWalk {
  #rows: Rows
  #soonestNs = -Infinity
  #latestNs: number

  /**
   * @param counted what was counted before
   * @param risenByNs when the last rise before the line had come, at the latest
   */
  constructor(
    private readonly chart: CountedRows,
    private readonly reset: RangeNs,
    private level: Level,
    counted: 'nothing' | 'anything',
    risenByNs: number,
  ) {
    this.#rows = counted === 'nothing' ? FIRST : chart.all
    this.#latestNs = risenByNs + reset.maxNs
  }

  /** The first row that can answer the phase at its beginning otherwise than the first cycle does; `null` where none can. */
  get later(): number | null {
    return this.chart.later(this.#rows, this.level)
  }

  /** The line turns its level at `atNs`. */
  turn(atNs: number): void {
    if (atNs >= this.#latestNs) this.#rows = FIRST
    else if (atNs >= this.#soonestNs) this.#rows |= FIRST
    this.level = this.level === 'low' ? 'high' : 'low'
    if (this.level === 'low') return
    this.#rows = this.chart.next(this.#rows)
    this.#soonestNs = atNs + this.reset.minNs
    this.#latestNs = atNs + this.reset.maxNs
  }
}
