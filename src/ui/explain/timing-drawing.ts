import type { Explanation } from '../../bench/explain.ts'
import type { Chart } from '../../port/chart.ts'
import { PINS } from '../../port/pins.ts'
import type { Label } from '../chart/paper.ts'
import { drawAxis, drawDue, drawGuilty } from './draw-remarks.ts'
import { drawPin, slopesOf, tintOf, wavePath } from './draw-waves.ts'
import type { TimingDrawing } from './drawing.ts'
import { t } from './explain-texts.ts'
import { MARK, layOut } from './diagram-layout.ts'
import type { DiagramLayout } from './diagram-layout.ts'
import { wavesOf } from './waves.ts'
import type { Span } from './waves.ts'

/**
 * The timing diagram of an explanation, as a datasheet draws one: time to the right, a lane for every line.
 *
 * @param width of the paper in px; the height follows
 */
export function timingDrawing(
  explanation: Explanation,
  chart: Chart,
  span: Span,
  width: number,
): TimingDrawing {
  const layout = layOut(explanation, span, width)
  const { paper, scale, turned, lanes } = layout
  const waves = wavesOf(explanation, chart, span)
  const samples = explanation.samples.filter(({ atNs }) => atNs >= span.fromNs && atNs <= span.untilNs)
  return {
    turned,
    width: layout.width,
    height: layout.height,
    names: namesOf(layout),
    select: wavePath(layout, 0, waves.select),
    slopes: slopesOf(layout, explanation),
    pins: PINS.map((pin, k) => drawPin(layout, explanation, pin, k + 1, waves.pins[pin])),
    tint: tintOf(layout, explanation),
    samples: samples.map(({ atNs, isGuilty }) => {
      const along = scale.at(atNs)
      const { foot } = layout
      return {
        isGuilty,
        hair: paper.path([
          [along, lanes[0]?.start ?? 0],
          [along, foot],
        ]),
        mark: paper.path(
          [
            [along, foot],
            [along - MARK.half, foot + MARK.height],
            [along + MARK.half, foot + MARK.height],
          ],
          true,
        ),
      }
    }),
    guilty: drawGuilty(layout, explanation),
    due: drawDue(layout, explanation),
    axis: drawAxis(layout, explanation),
  }
}

const namesOf = ({ turned, lanes }: DiagramLayout): Label[] =>
  lanes.map(({ start, size }, k) => {
    const middle = start + size / 2
    const pin = PINS[k - 1]
    if (turned) return { x: middle, y: 9, text: k === 0 ? t.select : String(pin), anchor: 'middle' }
    return { x: 0, y: middle, text: k === 0 ? t.select : t.pin({ pin: String(pin) }), anchor: 'start' }
  })
