import type { DrawnGuilty, DrawnSample } from './drawing.ts'
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
    }
  })

const sampleLine = (stage: Stage, along: number): string =>
  stage.paper.path([
    [along, stage.m.head + 2],
    [along, stage.samplesFoot],
  ])

/** The mark of a misread, drawn around a point. */
const crossPath = ({ x, y }: Point): string =>
  `M${x - 4} ${y - 4}L${x + 4} ${y + 4}M${x + 4} ${y - 4}L${x - 4} ${y + 4}`

/** The guilty cells, the sample that met them, and what the title saw. */
export function drawGuilty(stage: Stage): DrawnGuilty | undefined {
  const { reading, guilty, turned, samplesFoot: foot } = stage
  const sample = reading?.guilty && reading.samples[reading.guilty.sampleIndex]
  if (!reading?.guilty || !sample) return undefined
  const along = stage.sampleAlong(sample)
  const text = `sees ${reading.guilty.sees}`
  // The cross stands by its triangle and the words run to the side that has room, by a generous guess of their width.
  const cross: Point = turned
    ? { x: foot + 4, y: stage.finish(guilty.column) + stage.m.note / 2 }
    : { x: along, y: foot + 21 }
  const runsOn = !turned && along + 12 + text.length * 7 <= stage.length
  const note: Label = runsOn
    ? { x: cross.x + 10, y: cross.y, text, anchor: 'start' }
    : { x: cross.x - 10, y: cross.y, text, anchor: 'end' }
  return {
    boxes: guilty.pins.map((pin) => {
      const { start, size } = stage.laneOf(pin)
      return stage.paper.box(stage.begin(guilty.column), start - 4, stage.m.column, size + 8)
    }),
    line: sampleLine(stage, along),
    note,
    cross: crossPath(cross),
  }
}
