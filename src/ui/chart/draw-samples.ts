import { timeWord } from '../../words/figures.ts'
import type { DrawnGuilty, DrawnSample, DrawnTight } from './drawing.ts'
import { columnIndex } from './chart-columns.ts'
import { t } from './chart-texts.ts'
import type { Label, Point } from './paper.ts'
import type { Stage } from './stage.ts'

/** A triangle under its column for every sample, and a hairline up through the lanes. */
export const drawSamples = (stage: Stage): DrawnSample[] =>
  (stage.reading?.samples ?? []).map((sample, k) => {
    const along = stage.sampleAlong(sample)
    const foot = stage.samplesFoot
    return {
      hair: sampleLine(stage, along),
      mark: stage.paper.path(
        [
          [along, foot],
          [along - 5, foot + 9],
          [along + 5, foot + 9],
        ],
        true,
      ),
      guilty: stage.reading?.guilty?.sampleIndex === k,
      tight: stage.reading?.tight?.sampleIndex === k,
    }
  })

const sampleLine = (stage: Stage, along: number): string =>
  stage.paper.path([
    [along, stage.m.head + 2],
    [along, stage.samplesFoot],
  ])

/** The mark of a misread, drawn around a point. */
export const crossPath = ({ x, y }: Point): string =>
  `M${x - 4} ${y - 4}L${x + 4} ${y + 4}M${x + 4} ${y - 4}L${x - 4} ${y + 4}`

/** The mark of what is tight, drawn around a point. */
const trianglePath = ({ x, y }: Point): string => `M${x} ${y - 5}L${x + 5} ${y + 4}L${x - 5} ${y + 4}Z`

/** The guilty cells, the sample that met them, and what the title saw. */
export function drawGuilty(stage: Stage): DrawnGuilty | undefined {
  const { reading, guilty } = stage
  const sample = reading?.guilty && reading.samples[reading.guilty.sampleIndex]
  if (!reading?.guilty || !sample) return undefined
  const along = stage.sampleAlong(sample)
  const { note, mark } = noteAt(stage, guilty.column, along, t.sees({ inputs: reading.guilty.sees }))
  return {
    boxes: guilty.pins.map((pin) => {
      const { start, size } = stage.laneOf(pin)
      return stage.paper.box(stage.begin(guilty.column), start - 4, stage.m.column, size + 8)
    }),
    line: sampleLine(stage, along),
    note,
    cross: crossPath(mark),
  }
}

/** The sample with the least margin where that is too little, and its margin. */
export function drawTight(stage: Stage): DrawnTight | undefined {
  const { reading } = stage
  const sample = reading?.tight && reading.samples[reading.tight.sampleIndex]
  if (!reading?.tight || !sample) return undefined
  const along = stage.sampleAlong(sample)
  const text = t.tight({ time: timeWord(reading.tight.spareNs) })
  const { note, mark } = noteAt(stage, columnIndex(sample.cycle, sample.level), along, text)
  return { line: sampleLine(stage, along), note, triangle: trianglePath(mark) }
}

/** A note by the triangle of a sample: its mark, and words that run to the side that has room, by a generous guess of their width. */
function noteAt(stage: Stage, column: number, along: number, text: string): { note: Label; mark: Point } {
  const { turned, samplesFoot: foot } = stage
  const mark: Point = turned
    ? { x: foot + 4, y: stage.finish(column) + stage.m.note / 2 }
    : { x: along, y: foot + 21 }
  const runsOn = !turned && along + 12 + text.length * 7 <= stage.length
  const note: Label = runsOn
    ? { x: mark.x + 10, y: mark.y, text, anchor: 'start' }
    : { x: mark.x - 10, y: mark.y, text, anchor: 'end' }
  return { note, mark }
}
