import { cellWord } from '../../port/input-texts.ts'
import type { Cell } from '../../port/chart.ts'
import type { Level } from '../../port/pins.ts'
import { columnIndex, runsOf } from './chart-columns.ts'
import type { Run } from './chart-columns.ts'
import type { DrawnRun, Lane } from './drawing.ts'
import type { Label, Spot } from './paper.ts'
import type { Stage } from './stage.ts'

/** All that the pins carry. */
export const drawRuns = (stage: Stage): DrawnRun[] =>
  runsOf(stage.columns, stage.reading).map((run) => drawRun(stage, run))

const isLevel = (cell: Cell): cell is Level => cell === 'low' || cell === 'high'

function drawRun(stage: Stage, run: Run): DrawnRun {
  const lane = stage.laneOf(run.pin)
  return {
    ...run,
    key: `${run.pin}:${run.from}`,
    input: isLevel(run.cell) ? undefined : run.cell,
    path: isLevel(run.cell) ? levelPath(stage, run, run.cell, lane) : inputPath(stage, run, lane),
    label: runLabel(stage, run, lane),
  }
}

/** A labelled cell: a long hexagon whose points meet those of its neighbours. */
function inputPath(stage: Stage, run: Run, lane: Lane): string {
  const { point } = stage.m
  const [from, to] = [stage.begin(run.from) + 0.5, stage.finish(run.to) + 0.5]
  const [near, far] = [lane.start + 0.5, lane.start + lane.size - 0.5]
  const middle = lane.start + lane.size / 2
  return stage.paper.path(
    [
      [from, middle],
      [from + point, near],
      [to - point, near],
      [to, middle],
      [to - point, far],
      [from + point, far],
    ],
    true,
  )
}

/** A fixed level: a line that leaves the point of one neighbour and runs into the point of the next. */
function levelPath(stage: Stage, run: Run, level: Level, lane: Lane): string {
  const { paper, m } = stage
  const [from, to] = [stage.begin(run.from), stage.finish(run.to)]
  const across = paper.level(lane, level)
  const middle = lane.start + lane.size / 2
  const before = stage.columns[run.from - 1]?.phase[run.pin]
  const after = stage.columns[run.to + 1]?.phase[run.pin]
  return paper.path([...opening(), ...closing()])

  function opening(): Spot[] {
    if (before === undefined || before === level) return [[from, across]]
    // From the other level it steps, from an input it comes out of the point.
    return isLevel(before)
      ? [
          [from, paper.level(lane, before)],
          [from, across],
        ]
      : [
          [from + 0.5, middle],
          [from + 0.5 + m.point, across],
        ]
  }

  function closing(): Spot[] {
    if (after === undefined || isLevel(after)) return [[to, across]]
    return [
      [to + 0.5 - m.point, across],
      [to + 0.5, middle],
    ]
  }
}

function runLabel(stage: Stage, run: Run, lane: Lane): Label {
  const centre = lane.start + lane.size / 2
  const along = wordAlong(stage, run)
  const text = cellWord(run.cell)
  if (stage.turned) return { x: centre, y: along, text, anchor: 'middle' }
  // A level's word stands by its line.
  const lean = run.cell === 'low' ? 3 : run.cell === 'high' ? -2 : 0
  return { x: along, y: centre + lean, text, anchor: 'middle' }
}

/** In the middle; but where a sample's line crosses an open cell, on the wider side of it. */
function wordAlong(stage: Stage, run: Run): number {
  const [from, to] = [stage.begin(run.from), stage.finish(run.to)]
  const middle = (from + to) / 2
  const isOpen = run.guilty || isLevel(run.cell)
  if (stage.turned || !isOpen || run.from !== run.to) return middle
  const sample = stage.reading?.samples.find(({ cycle, level }) => columnIndex(cycle, level) === run.from)
  if (!sample) return middle
  const split = stage.sampleAlong(sample)
  return Math.round(split - from > to - split ? (from + split) / 2 : (split + to) / 2)
}
