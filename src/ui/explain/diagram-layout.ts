import type { Explanation } from '../../bench/explain.ts'
import { PINS } from '../../port/pins.ts'
import { Paper } from '../chart/paper.ts'
import { scaleOf } from './scale.ts'
import type { Scale } from './scale.ts'
import { guiltySample } from './waves.ts'
import type { Span } from './waves.ts'

/** Narrower than this and the diagram turns by a quarter: time runs down. */
const LEAST_WIDTH = 520
/** Nor does it stay upright where a phase would have less. */
const LEAST_PHASE = 22
/** Half of a triangle's foot, and its height. */
export const MARK = { half: 5, height: 9 } as const
/** Width of a letter, by a generous guess. */
export const LETTER = 6.6

export interface DiagramLayout {
  readonly turned: boolean
  readonly paper: Paper
  readonly scale: Scale
  /** Across: select, then the pins. */
  readonly lanes: readonly { readonly start: number; readonly size: number }[]
  /** Across: the feet of the samples' lines. */
  readonly foot: number
  readonly width: number
  readonly height: number
}

/** Upright: from the feet of the samples to the axis and what stands on it, and the row of the dimension where there is one. */
export const AXIS = 68
export const rowOf = ({ dueNs }: Explanation): number => (dueNs === null ? 0 : 22)

export function layOut(explanation: Explanation, span: Span, width: number): DiagramLayout {
  const phases = explanation.phases + 1
  const lead = 56
  const turned = width < LEAST_WIDTH || (width - lead) / phases < LEAST_PHASE
  const paper = new Paper(turned)
  if (!turned) {
    const lanes = [{ start: 10, size: 22 }, ...PINS.map((_, k) => ({ start: 48 + k * 34, size: 22 }))]
    const foot = 48 + PINS.length * 34 + 4
    return {
      turned,
      paper,
      scale: scaleOf(span, lead, width - 12),
      lanes,
      foot,
      width,
      height: foot + AXIS + rowOf(explanation),
    }
  }
  // At the left stand times and remarks; the rest is for the lanes.
  const gutter = 92
  const room = Math.floor((width - gutter - MARK.height - 4) / (PINS.length + 1))
  const lanes = Array.from({ length: PINS.length + 1 }, (_, k) => ({
    start: gutter + k * room + 4,
    size: room - 10,
  }))
  const length = Math.max(260, Math.min(phases, 34) * 44)
  return {
    turned,
    paper,
    scale: scaleOf(span, 26, 26 + length),
    lanes,
    foot: gutter + (PINS.length + 1) * room + 2,
    width,
    height: length + 40,
  }
}

/** Above this many px between sample and reply the whole read shows it well enough. */
const SEEN_WELL = 48
/** Finer than this a detail does not become. */
const MOST_DETAIL_NS = 40

/**
 * A stretch of time in which the way from the guilty sample to the right reply is wide enough to be seen; `null` where the whole
 * read shows it, or where it is not the time that is wrong.
 */
export function detailSpan(explanation: Explanation, span: Span, width: number): Span | null {
  const { dueNs, example } = explanation
  if (dueNs === null || example.shortNs === null) return null
  const { atNs } = guiltySample(explanation)
  const { scale } = layOut(explanation, span, width)
  if (scale.at(dueNs) - scale.at(atNs) >= SEEN_WELL) return null
  const gapNs = Math.max(MOST_DETAIL_NS, dueNs - atNs)
  // The edge that the sample comes too soon after belongs to it, where it is not too far away.
  const opened = explanation.select.edges.filter((edge) => edge.atNs <= atNs).pop()
  const fromNs = Math.max(atNs - 4 * gapNs, Math.min(opened?.atNs ?? atNs, atNs) - gapNs)
  return { fromNs, untilNs: dueNs + 2 * gapNs }
}
