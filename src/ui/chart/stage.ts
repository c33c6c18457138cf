import type { ReadSample, Reading } from '../../bench/reading.ts'
import type { Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import type { Pin } from '../../port/pins.ts'
import { laneWord } from './cell-words.ts'
import { LANES, columnIndex, columnsOf, guiltyCells, notedColumn } from './chart-columns.ts'
import type { Column } from './chart-columns.ts'
import type { Lane } from './drawing.ts'
import { measures } from './measures.ts'
import type { Measures } from './measures.ts'
import { Paper } from './paper.ts'
import type { Rectangle, Label } from './paper.ts'

/** Where everything stands, along time and across the lanes, before anything is drawn. */
export class Stage {
  readonly chart: Chart
  readonly reading: Reading | undefined
  readonly columns: readonly Column[]
  readonly guilty: ReturnType<typeof guiltyCells>
  /** The column that a note stands by; -1 for none. */
  readonly noted: number
  readonly m: Measures
  readonly turned: boolean
  readonly paper: Paper
  /** Select, then the pins. */
  readonly lanes: readonly Lane[]
  /** Across: where the last lane ends. */
  readonly lanesEnd: number
  /** Across: the feet of the samples' lines. */
  readonly samplesFoot: number
  /** Along: the end of the last column, and of the paper. */
  readonly end: number
  readonly length: number
  /** Across: all of the paper. */
  readonly depth: number

  constructor(chart: Chart, reading: Reading | undefined, width: number) {
    this.chart = chart
    this.reading = reading
    this.columns = columnsOf(chart, reading)
    this.guilty = guiltyCells(reading)
    this.noted = notedColumn(reading)
    const m = measures(width, this.columns.length, chart, reading)
    this.m = m
    this.turned = m.turned
    this.paper = new Paper(m.turned)
    this.end = this.finish(this.columns.length - 1)
    // A note after the very last column has no column to push aside, but it needs its room all the same.
    const noteAtEnd = this.noted === this.columns.length - 1 ? m.note : 0
    this.length = this.end + noteAtEnd + m.again
    this.lanes = LANES.map((contact, k) => this.#lane(contact, k))
    this.lanesEnd = m.head + m.select + PINS.length * m.lane
    this.samplesFoot = this.lanesEnd + (m.turned ? 6 : 14)
    this.depth = this.lanesEnd + m.samples + (m.turned ? 0 : 2) + (reading && !m.turned ? 24 : 0)
  }

  /** Along: where a column begins. What stands after the noted one makes room for its note. */
  begin(column: number): number {
    const { m, noted } = this
    return m.lead + column * m.column + (noted >= 0 && column > noted ? m.note : 0)
  }

  /** Along: where a column ends. */
  finish(column: number): number {
    return this.begin(column) + this.m.column
  }

  /** Along: where a sample stands, on the middle of a pixel. */
  sampleAlong({ cycle, level, columnFraction }: ReadSample): number {
    return Math.round(this.begin(columnIndex(cycle, level)) + columnFraction * this.m.column) + 0.5
  }

  laneOf(pin: Pin): Lane {
    return this.lanes[PINS.indexOf(pin) + 1] as Lane
  }

  /** One cell, all of it. */
  cellBox(lane: number, column: number): Rectangle {
    const { top, room } = this.#across(lane)
    return this.paper.box(this.begin(column), top, this.m.column, room)
  }

  /** Across: the room of a lane. */
  #across(lane: number): { top: number; room: number } {
    const { m } = this
    if (lane === 0) return { top: m.head, room: m.select }
    return { top: m.head + m.select + (lane - 1) * m.lane, room: m.lane }
  }

  #lane(contact: Lane['contact'], k: number): Lane {
    const { m, turned } = this
    const { top, room } = this.#across(k)
    const size = k === 0 ? m.selectSwing : m.cell
    const start = top + Math.round((room - size) / 2)
    const middle = start + size / 2
    // Where lanes are narrow a pin's number is word enough.
    const text = turned && k > 0 && m.lane < 36 ? `${contact}` : laneWord(contact)
    const label: Label = turned
      ? { x: middle, y: m.lead - 12, text, anchor: 'middle' }
      : { x: 0, y: middle, text, anchor: 'start' }
    return { contact, start, size, label, box: this.paper.box(0, top, this.end, room) }
  }
}
