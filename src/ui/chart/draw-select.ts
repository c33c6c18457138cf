import { cycleShortWord, cycleWord } from './cell-words.ts'
import { t } from './chart-texts.ts'
import type { DrawnAgain, Head, Lane } from './drawing.ts'
import type { Spot } from './paper.ts'
import type { Stage } from './stage.ts'

/** The names of the cycles. */
export function drawHeads(stage: Stage): Head[] {
  const { chart, columns, turned, m } = stage
  const heads: Head[] = []
  columns.forEach((column, k) => {
    if (column.level === 'low') return
    // The replies that are kept afterwards are one and the same, however often the title reads them.
    if (column.source === 'after' && heads.at(-1)?.column.source === 'after') return
    const from = stage.begin(k)
    const until = column.source === 'after' ? stage.end : stage.finish(k + 1)
    heads.push({
      key: `${column.cycle}`,
      column,
      label: turned
        ? { x: 0, y: from + 16, text: cycleShortWord(chart, column), anchor: 'start' }
        : { x: (from + until) / 2, y: 9, text: cycleWord(chart, column), anchor: 'middle' },
      box: turned
        ? { x: 0, y: from + 4, width: m.head - 2, height: 24 }
        : { x: from + 1, y: 0, width: until - from - 1, height: m.head },
    })
  })
  return heads
}

/** Hairlines where the cycles begin, and where the last one ends. */
export function drawRules(stage: Stage): string[] {
  const starts = stage.columns.flatMap(({ level }, k) => (level === 'high' ? [stage.begin(k)] : []))
  return [...starts, stage.end].map((along) =>
    stage.paper.path([
      [along + 0.5, 0],
      [along + 0.5, stage.lanesEnd + stage.m.samples],
    ]),
  )
}

/** The line of select, one step at every edge. */
export function drawSelect(stage: Stage): string {
  const lane = stage.lanes[0] as Lane
  const last = stage.columns.length - 1
  return stage.paper.path(
    stage.columns.flatMap(({ level }, k): Spot[] => {
      const across = stage.paper.level(lane, level)
      return [
        [stage.begin(k), across],
        [k < last ? stage.begin(k + 1) : stage.end, across],
      ]
    }),
  )
}

/** Select goes on after the last column, and the first cycle answers: drawn for *start again*. */
export function drawAgain(stage: Stage): DrawnAgain | undefined {
  const { chart, paper, end, m } = stage
  if (chart.after.kind !== 'start-again') return undefined
  const lane = stage.lanes[0] as Lane
  const [low, high] = [paper.level(lane, 'low'), paper.level(lane, 'high')]
  const tip = stage.length - 8
  const drawn = stage.columns.length / 2
  const text = t.thenCycle({ n: (drawn % chart.cycles.length) + 1 })
  return {
    path: paper.path([
      [end, low],
      [end, high],
      [tip, high],
    ]),
    arrow: paper.path(
      [
        [tip + 6, high],
        [tip - 2, high - 4],
        [tip - 2, high + 4],
      ],
      true,
    ),
    label: stage.turned
      ? { x: m.head + m.select + 4, y: stage.length - 14, text, anchor: 'start' }
      : { x: end + 8, y: 9, text, anchor: 'start' },
  }
}
