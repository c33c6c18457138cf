import type { Chart } from '../../port/chart.ts'

/** All that the count needs of a chart: how many cycles it has and what comes after the last. */
export interface ChartShape {
  readonly cycles: number
  readonly after: Chart['after']['kind']
}

export const shapeOf = ({ cycles, after }: Chart): ChartShape => ({
  cycles: cycles.length,
  after: after.kind,
})

export const isSameShape = (one: ChartShape, other: ChartShape): boolean =>
  one.cycles === other.cycles && one.after === other.after

/** Rows of the chart: one a cycle, and where the last reply stays, that one. */
export const rowsOf = ({ cycles, after }: ChartShape): number => (after === 'stay' ? cycles + 1 : cycles)

/** The row that answers after so many rises since the last idle reset. */
export const rowAt = ({ cycles, after }: ChartShape, rises: number): number =>
  after === 'stay' ? Math.min(rises, cycles) : rises % cycles

/** The row after one more rise. */
export const rowAfter = (shape: ChartShape, row: number): number => rowAt(shape, row + 1)
