import type { DelayFigures, Density } from '../../bench/delay/budget.ts'
import { timeWord } from '../../words/figures.ts'
import { t } from './delay-texts.ts'

/** A plumb line with its word. */
export interface DensityMark {
  readonly x: number
  readonly word: string
  /** Where the word stands, and to which side of the line. */
  readonly y: number
  readonly anchor: 'start' | 'end'
}

export interface DensityDrawing {
  readonly height: number
  /** Outline of the bars, closed along the axis. */
  readonly bars: string
  readonly axisY: number
  readonly ticks: readonly { readonly x: number; readonly word: string }[]
  readonly marks: readonly DensityMark[]
}

const MS = 1_000_000
const HEIGHT = 176
/** Two lines of words above, one below. */
const TOP = 44
const AXIS_Y = 148
/** Half of the widest word on the axis, so that none is cut off. */
const SIDE = 20
/** The least room from one word on the axis to the next. */
const TICK_ROOM = 64

/** The steps that an axis may have, in ms. */
const STEPS_MS = [1, 2, 5, 10, 20, 50, 100, 200, 500]

/** A distribution over time, from nothing on, in a box so many pixels wide. */
export function densityDrawing(
  { fromNs, stepNs, values }: Density,
  figures: DelayFigures,
  width: number,
): DensityDrawing {
  const endNs = fromNs + stepNs * values.length
  const x = (ns: number): number => SIDE + (ns / endNs) * (width - 2 * SIDE)
  const highest = Math.max(...values)
  const y = (value: number): number => AXIS_Y - (value / highest) * (AXIS_Y - TOP)
  const steps = values.map((value, k) => `V${round(y(value))}H${round(x(fromNs + (k + 1) * stepNs))}`)

  const wanted = (endNs / MS / (width - 2 * SIDE)) * TICK_ROOM
  const stepMs = STEPS_MS.find((step) => step >= wanted) ?? Math.ceil(wanted / 1_000) * 1_000
  const ticks = Array.from({ length: Math.floor(endNs / MS / stepMs) + 1 }, (_, k) => ({
    x: round(x(k * stepMs * MS)),
    word: t.ms({ ms: k * stepMs }),
  }))

  const mark = (ns: number, word: string, row: number): DensityMark => ({
    x: round(x(ns)),
    word,
    y: 12 + 18 * row,
    anchor: x(ns) < width / 2 ? 'start' : 'end',
  })
  return {
    height: HEIGHT,
    bars: `M${round(x(fromNs))} ${AXIS_Y}${steps.join('')}V${AXIS_Y}Z`,
    axisY: AXIS_Y,
    ticks,
    marks: [
      mark(figures.medianNs, t.median({ time: timeWord(figures.medianNs) }), 0),
      mark(figures.p95Ns, t.p95({ time: timeWord(figures.p95Ns) }), 1),
    ],
  }
}

const round = (pixels: number): number => Math.round(pixels * 100) / 100

/** What the drawing shows, for those who do not see it. */
export function densityWords(
  { fromNs, stepNs, values }: Density,
  { minNs, medianNs, p95Ns, maxNs }: DelayFigures,
): string {
  const k = values.indexOf(Math.max(...values))
  return t.distribution({
    min: timeWord(minNs),
    max: timeWord(maxNs),
    mode: timeWord(fromNs + Math.round((k + 0.5) * stepNs)),
    median: timeWord(medianNs),
    p95: timeWord(p95Ns),
  })
}
