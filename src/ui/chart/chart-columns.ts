import type { Reading } from '../../bench/reading.ts'
import type { Cell, Chart, Phase } from '../../port/chart.ts'
import { phaseAt, repliesOf, sourceAt } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import type { Level, Pin } from '../../port/pins.ts'
import { SELECT_CONTACT } from '../connector/contacts.ts'
import type { Contact } from '../connector/contacts.ts'
import type { CellRef } from '../../profile/chart-commands.ts'

/** The lanes in the order they are drawn. */
export const LANES: readonly Contact[] = [SELECT_CONTACT, ...PINS]

/** One phase on the chart. */
export interface Column {
  /** Cycle since the reset, from 0; runs on past the chart's last cycle as far as the title reads. */
  readonly cycle: number
  readonly level: Level
  /** Whose cells it shows. */
  readonly source: CellRef['cycle']
  readonly phase: Phase
}

/** Equal neighbours of one lane, drawn as one. Columns from `from` up to and including `to`. */
export interface Run {
  readonly pin: Pin
  readonly cell: Cell
  readonly from: number
  readonly to: number
  /** The cell the title stumbles over; it is never merged. */
  readonly guilty: boolean
}

const LEVELS = ['high', 'low'] as const

/** Cycles that are drawn: the chart's own, what it keeps afterwards, and on as far as the title reads. */
function drawnCycles(chart: Chart, reading?: Reading): number {
  return Math.max(repliesOf(chart).length, ...(reading?.samples ?? []).map((sample) => sample.cycle + 1))
}

/** The columns of the chart, high before low: the counter moves at the rise, so a cycle opens with its high phase. */
export const columnsOf = (chart: Chart, reading?: Reading): Column[] =>
  Array.from({ length: drawnCycles(chart, reading) }, (_, cycle) =>
    LEVELS.map((level) => ({
      cycle,
      level,
      source: sourceAt(chart, cycle),
      phase: phaseAt(chart, cycle, level),
    })),
  ).flat()

/** Index of the column that a cycle and a level meet. */
export const columnIndex = (cycle: number, level: Level): number => cycle * 2 + LEVELS.indexOf(level)

/** Column and pins of the guilty cells; no column when the reading has none. */
export function guiltyCells(reading?: Reading): { column: number; pins: readonly Pin[] } {
  const guilty = reading?.guilty
  const sample = guilty && reading?.samples[guilty.sampleIndex]
  return sample
    ? { column: columnIndex(sample.cycle, sample.level), pins: guilty.pins }
    : { column: -1, pins: [] }
}

/** The column of the sample that a note stands by, guilty or tight; -1 for none. */
export function notedColumn(reading?: Reading): number {
  const noted = reading?.guilty ?? reading?.tight
  const sample = noted && reading?.samples[noted.sampleIndex]
  return sample ? columnIndex(sample.cycle, sample.level) : -1
}

/** The runs of every data pin's lane, in the order of pins and then of time. */
export function runsOf(columns: readonly Column[], reading?: Reading): Run[] {
  const guilty = guiltyCells(reading)
  return PINS.flatMap((pin) => {
    const runs: Run[] = []
    columns.forEach(({ phase }, k) => {
      const cell = phase[pin]
      const isGuilty = k === guilty.column && guilty.pins.includes(pin)
      const last = runs.at(-1)
      if (last && last.cell === cell && !last.guilty && !isGuilty) runs[runs.length - 1] = { ...last, to: k }
      else runs.push({ pin, cell, from: k, to: k, guilty: isGuilty })
    })
    return runs
  })
}

/** Where a time is known on the chart: the edge that opens a column, from the first sample that meets it. */
export function knownEdges(reading: Reading): { column: number; timeNs: number }[] {
  const edges = new Map<number, number>()
  for (const { cycle, level, timeNs, afterEdgeNs } of reading.samples) {
    const column = columnIndex(cycle, level)
    if (!edges.has(column)) edges.set(column, timeNs - afterEdgeNs)
  }
  return [...edges].map(([column, timeNs]) => ({ column, timeNs })).sort((p, q) => p.column - q.column)
}
