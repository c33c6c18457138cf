import type { Reading } from '../../bench/reading.ts'
import type { Chart } from '../../port/chart.ts'
import { t } from './chart-texts.ts'
import { drawAxis } from './draw-axis.ts'
import { drawRuns } from './draw-runs.ts'
import { drawGuilty, drawSamples, drawTight } from './draw-samples.ts'
import { drawAgain, drawHeads, drawRules, drawSelect } from './draw-select.ts'
import type { Drawing } from './drawing.ts'
import { Stage } from './stage.ts'

/**
 * Lay the chart out for a width. Time runs right; on narrow paper it turns by a quarter: time runs down, and high
 * stands right of low as it stood above it.
 *
 * @param width of the paper in CSS px; the height follows from what is on it
 */
export function layOut(chart: Chart, reading: Reading | undefined, width: number): Drawing {
  const stage = new Stage(chart, reading, width)
  const { turned, length, depth } = stage
  return {
    turned,
    width: turned ? depth : length,
    height: turned ? length : depth,
    columns: stage.columns,
    lanes: stage.lanes,
    heads: drawHeads(stage),
    rules: drawRules(stage),
    select: drawSelect(stage),
    again: drawAgain(stage),
    runs: drawRuns(stage),
    samples: drawSamples(stage),
    samplesLabel:
      reading && !turned ? { x: 0, y: stage.samplesFoot + 6, text: t.samples, anchor: 'start' } : undefined,
    guilty: drawGuilty(stage),
    tight: drawTight(stage),
    axis: drawAxis(stage),
    cellBox: (lane, column) => stage.cellBox(lane, column),
  }
}
