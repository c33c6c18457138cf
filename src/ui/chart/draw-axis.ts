import { axisWord } from './cell-words.ts'
import { columnIndex, knownEdges } from './chart-columns.ts'
import type { DrawnAxis } from './drawing.ts'
import type { Label } from './paper.ts'
import type { Stage } from './stage.ts'

/** Room that a label needs before the last one, which carries the unit. */
const LEAST_LABEL = 64

interface Tick {
  readonly along: number
  readonly timeNs: number
}

/** The time axis from the first column a title meets to the last: beneath the lanes, or in the gutter when turned. */
export function drawAxis(stage: Stage): DrawnAxis | undefined {
  const { reading } = stage
  if (!reading || reading.samples.length === 0) return undefined
  const met = reading.samples.map(({ cycle, level }) => columnIndex(cycle, level))
  const [first, last] = [Math.min(...met), Math.max(...met)]
  const start: Tick = { along: stage.begin(first), timeNs: reading.axis.startNs }
  const end: Tick = { along: stage.finish(last), timeNs: reading.axis.endNs }
  // Columns are of one width whatever their time, so that the axis is labelled where an edge is known and nowhere else.
  const between: Tick[] = knownEdges(reading)
    .filter(({ column }) => column > first && column % 2 === 0)
    .map(({ column, timeNs }) => ({ along: stage.begin(column), timeNs }))
  const spanNs = end.timeNs - start.timeNs
  return stage.turned
    ? { line: '', ticks: [], labels: [start, ...between].map((tick) => gutterLabel(tick, spanNs)) }
    : axisBeneath(stage, start, between, end)
}

function gutterLabel({ along, timeNs }: Tick, spanNs: number): Label {
  const { number, unit } = axisWord(timeNs, spanNs)
  return { x: 0, y: along + 34, text: timeNs === 0 ? number : `${number} ${unit}`, anchor: 'start' }
}

function axisBeneath(stage: Stage, start: Tick, between: readonly Tick[], end: Tick): DrawnAxis {
  const across = stage.lanesEnd + stage.m.samples + 0.5
  const spanNs = end.timeNs - start.timeNs
  const label = ({ along, timeNs }: Tick, anchor: Label['anchor']): Label => {
    const { number, unit } = axisWord(timeNs, spanNs)
    return { x: along, y: across + 12, text: anchor === 'end' ? `${number} ${unit}` : number, anchor }
  }
  return {
    line: stage.paper.path([
      [start.along, across],
      [end.along, across],
    ]),
    ticks: [start, ...between, end].map(({ along }) =>
      stage.paper.path([
        [along + 0.5, across - 4],
        [along + 0.5, across],
      ]),
    ),
    labels: [
      label(start, 'start'),
      ...between.filter(({ along }) => end.along - along >= LEAST_LABEL).map((tick) => label(tick, 'middle')),
      label(end, 'end'),
    ],
  }
}
