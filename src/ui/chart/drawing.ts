import type { Input } from '../../port/pins.ts'
import type { Contact } from '../connector/contacts.ts'
import type { Column, Run } from './chart-columns.ts'
import type { Rectangle, Label } from './paper.ts'

/* What the chart looks like, worked out: paths, words and where they stand. Nothing here knows what is held. */

export interface Lane {
  readonly contact: Contact
  /** Across the lanes, where its signal begins and how deep it is. */
  readonly start: number
  readonly size: number
  readonly label: Label
  /** All of it, for the mark of a lane that is linked. */
  readonly box: Rectangle
}

export interface DrawnRun extends Run {
  readonly key: string
  /** Closed shape for an input, open line for a fixed level. */
  readonly path: string
  readonly label: Label
  /** The input it stands for; none for a fixed level. */
  readonly input: Input | undefined
}

export interface DrawnSample {
  readonly hair: string
  readonly mark: string
  readonly guilty: boolean
  readonly tight: boolean
}

export interface DrawnGuilty {
  /** Ground of each guilty cell. */
  readonly boxes: readonly Rectangle[]
  readonly line: string
  /** What the title saw, and the cross at its side. */
  readonly note: Label
  readonly cross: string
}

export interface DrawnTight {
  readonly line: string
  /** Its margin, and the triangle at its side. */
  readonly note: Label
  readonly triangle: string
}

export interface DrawnAxis {
  readonly line: string
  readonly ticks: readonly string[]
  readonly labels: readonly Label[]
}

export interface DrawnAgain {
  readonly path: string
  readonly arrow: string
  readonly label: Label
}

/** The name of a cycle. */
export interface Head {
  readonly key: string
  readonly column: Column
  readonly label: Label
  readonly box: Rectangle
}

export interface Drawing {
  readonly turned: boolean
  readonly width: number
  readonly height: number
  readonly columns: readonly Column[]
  readonly lanes: readonly Lane[]
  readonly heads: readonly Head[]
  /** Hairlines where cycles begin. */
  readonly rules: readonly string[]
  readonly select: string
  /** After the last cycle: select goes on, from the first cycle. */
  readonly again: DrawnAgain | undefined
  readonly runs: readonly DrawnRun[]
  readonly samples: readonly DrawnSample[]
  readonly samplesLabel: Label | undefined
  readonly guilty: DrawnGuilty | undefined
  readonly tight: DrawnTight | undefined
  readonly axis: DrawnAxis | undefined
  /** Box of one cell, for what lies over the drawing: focus, hover, drop. */
  readonly cellBox: (lane: number, column: number) => Rectangle
}
