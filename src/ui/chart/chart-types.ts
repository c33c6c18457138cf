import type { Cell } from '../../port/chart.ts'
import type { Level, Pin } from '../../port/pins.ts'

/** One sample of a title's read, placed on the chart by the phase it meets. */
export interface ReadSample {
  /** Cycle it meets, from 0 since the last reset; may lie past the chart's last cycle. */
  readonly cycle: number
  /** Level of select while it samples. A title that rests low first meets the low phase of cycle 0. */
  readonly level: Level
  /** Since the read began. */
  readonly timeNs: number
  /** Since the edge that opened the phase. */
  readonly afterEdgeNs: number
  /** Where it stands in its column: 0 at the edge that opened the phase, 1 at the edge that ends it. */
  readonly columnFraction: number
}

/** The sample that made the verdict *misread*. */
export interface Guilty {
  /** Index into {@link Reading.samples}. */
  readonly sampleIndex: number
  /** Pins that were taken wrongly there; none when the time is at fault and not a pin. */
  readonly pins: readonly Pin[]
  /** What the title saw, without the verb: `Up and Down`. */
  readonly sees: string
}

/** How a title reads the port, as the chart draws it. */
export interface Reading {
  readonly titleName: string
  /** In order of time. */
  readonly samples: readonly ReadSample[]
  readonly guilty?: Guilty
  /** Time at the left edge of the first column the title meets, and at the right edge of the last. */
  readonly axis: { readonly startNs: number; readonly endNs: number }
}

/** A cell of the chart: cycle from 0, or the reply that *stay* keeps. */
export interface CellRef {
  readonly cycle: number | 'after'
  readonly level: Level
  readonly pin: Pin
}

/** What the head of a cycle offers while the chart is unlocked. Cycles count from 0. */
export type ChartCommand =
  | { readonly kind: 'add-cycle' }
  | { readonly kind: 'remove-cycle'; readonly cycle: number }
  /** This cycle becomes the last; what follows is the three-button reply. */
  | { readonly kind: 'stop-after'; readonly cycle: number }
  | { readonly kind: 'start-again' }
  | { readonly kind: 'stay' }

export type OnEdit = (ref: CellRef, cell: Cell) => void
export type OnCommand = (command: ChartCommand) => void
