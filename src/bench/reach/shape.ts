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

/** Rows of the chart: one a cycle, and where the last reply stays, that one. */
export const rowsOf = ({ cycles, after }: ChartShape): number => (after === 'stay' ? cycles + 1 : cycles)

/** The row after one more rise. */
export function rowAfter(shape: ChartShape, row: number): number {
  if (shape.after === 'stay') return Math.min(row + 1, shape.cycles)
  return (row + 1) % shape.cycles
}
