import type { Explanation } from '../../bench/explain.ts'
import { crossPath } from '../chart/draw-samples.ts'
import type { Label } from '../chart/paper.ts'
import type { DrawnDue, TimingDrawing } from './drawing.ts'
import { earlyWords, replyWords, sawWords } from './explain-words.ts'
import { t } from './explain-texts.ts'
import { AXIS, LETTER, rowOf } from './diagram-layout.ts'
import type { DiagramLayout } from './diagram-layout.ts'
import { ticksOf } from './scale.ts'
import { guiltySample } from './waves.ts'

/** From one line of words to the next. */
const LINE = 15
/** Letters that a line in the gutter of a turned diagram has room for. */
const GUTTER = 12

/** What is said beside the failing sample and the correct reply. */
interface Remarks {
  readonly guilty: readonly Label[]
  readonly due: readonly Label[]
}

function remarksOf(layout: DiagramLayout, explanation: Explanation): Remarks {
  const { scale, turned } = layout
  const sample = scale.at(guiltySample(explanation).atNs)
  const early = earlyWords(explanation)
  const saw = sawWords(explanation)
  const { dueNs } = explanation
  if (turned) {
    const sawLines = wrapped(saw)
    const dueLines = dueNs === null ? [] : wrapped(early ?? t.replyHere)
    const count = sawLines.length + dueLines.length
    const first = Math.max(scale.begin, Math.min(sample, scale.end - (count - 1) * LINE))
    const labels = [...sawLines, ...dueLines].map((text, k): Label => {
      return { x: 16, y: first + k * LINE, text, anchor: 'start' }
    })
    return { guilty: labels.slice(0, sawLines.length), due: labels.slice(sawLines.length) }
  }
  return {
    guilty: [beside(layout, sample, sample, saw, 0)],
    due: dueNs === null ? [] : [beside(layout, sample, scale.at(dueNs), replyWords(explanation), 1)],
  }
}

/** Words behind a stretch of time, or before it where there is no room; on it where there is none on either side. */
function beside(
  { foot, width }: DiagramLayout,
  from: number,
  until: number,
  text: string,
  row: number,
): Label {
  const y = foot + 20 + row * 18
  const clear = row === 0 ? 10 : 10 + reachOf(from, until)
  const room = text.length * LETTER
  if (until + clear + room <= width) return { x: until + clear, y, text, anchor: 'start' }
  return from - clear >= room
    ? { x: from - clear, y, text, anchor: 'end' }
    : { x: Math.max(0, width - room), y, text, anchor: 'start' }
}

function wrapped(text: string): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines[lines.length - 1]
    if (last !== undefined && last.length + word.length < GUTTER) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}

export function drawGuilty(layout: DiagramLayout, explanation: Explanation): TimingDrawing['guilty'] {
  const words = remarksOf(layout, explanation).guilty
  const y = words[0]?.y ?? 0
  const along = layout.scale.at(guiltySample(explanation).atNs)
  return { words, cross: crossPath(layout.turned ? { x: 6, y } : { x: along, y }) }
}

/** Where there is no room between them the arrows of a dimension stand outside and point at each other: how far they reach. */
const reachOf = (from: number, until: number): number => (until - from < 20 ? 12 : 0)

export function drawDue(layout: DiagramLayout, explanation: Explanation): DrawnDue | null {
  const { dueNs } = explanation
  if (dueNs === null) return null
  const { paper, scale, turned, lanes, foot } = layout
  const sample = scale.at(guiltySample(explanation).atNs)
  const due = scale.at(dueNs)
  const across = turned ? (lanes[0]?.start ?? 0) - 8 : foot + 38
  const reach = reachOf(sample, due)
  const towards = reach > 0 ? 1 : -1
  const arrow = (tip: number, points: number): string =>
    paper.path(
      [
        [tip, across],
        [tip - points * 7, across - 3],
        [tip - points * 7, across + 3],
      ],
      true,
    )
  return {
    line: paper.path([
      [due, lanes[0]?.start ?? 0],
      [due, turned ? foot : foot + 44],
    ]),
    dimension:
      earlyWords(explanation) === null
        ? null
        : {
            line: paper.path([
              [sample - reach, across],
              [due + reach, across],
            ]),
            arrows: [arrow(sample, towards), arrow(due, -towards)],
          },
    words: remarksOf(layout, explanation).due,
  }
}

export function drawAxis(layout: DiagramLayout, explanation: Explanation): TimingDrawing['axis'] {
  const { paper, scale, turned, foot, lanes } = layout
  const ticks = ticksOf(scale, turned ? 40 : 72)
  const across = turned ? (lanes[0]?.start ?? 0) - 16 : foot + AXIS - 30 + rowOf(explanation)
  const line = paper.path([
    [scale.begin, across],
    [scale.end, across],
  ])
  const stubs = ticks.map(({ atNs }) =>
    paper.path([
      [scale.at(atNs), across],
      [scale.at(atNs), across + (turned ? -5 : 5)],
    ]),
  )
  const words = ticks.map(({ atNs, word }, k): Label => {
    const text = k === ticks.length - 1 ? `${word} µs` : word
    const along = scale.at(atNs)
    return turned
      ? { x: across - 8, y: along, text, anchor: 'end' }
      : { x: along, y: across + 16, text, anchor: k === ticks.length - 1 ? 'end' : 'middle' }
  })
  if (!turned) return { path: [line, ...stubs].join(''), words }
  // Remarks and times share the gutter of a turned diagram: the remarks come first.
  const { guilty, due } = remarksOf(layout, explanation)
  const isFree = ({ y }: Label): boolean =>
    [...guilty, ...due].every((remark) => Math.abs(remark.y - y) >= LINE)
  return { path: [line, ...stubs].join(''), words: words.filter(isFree) }
}
