import type { OneRead } from '../../title/capture/one-read.ts'
import { microseconds } from './capture-words.ts'

/* Select in one read, as a datasheet draws it: slanted edges, cycles by number, the least spacing between arrows, time beneath. Pixels. */

interface Word {
  readonly x: number
  readonly text: string
}

export interface ReadDrawing {
  readonly height: number
  readonly select: string
  /** The numbers of the cycles, over the phases away from rest. */
  readonly cycles: readonly Word[]
  /** The least spacing: its line with both arrows, the hairlines it stands between, and its word. */
  readonly spacing: { readonly line: string; readonly hairs: string; readonly word: Word }
  readonly axis: string
  readonly ticks: readonly Word[]
}

export const READ_Y = { cycle: 14, high: 24, low: 48, spacing: 62, word: 79, axis: 90, tick: 106 } as const
const HEIGHT = 112

/** Words "high" and "low" stand left of this. */
const LEFT = 36
const RIGHT = 6
/** What is drawn of the rest, before and after, as a share of the room. */
const REST = 0.08
/** Half of what an edge takes along time. */
const SLANT = 1.5
/** Least room for a word on the axis, and for the number of a cycle. */
const TICK_ROOM = 56
const CYCLE_ROOM = 14
const ARROW = 5
/** About half of the longest word at the arrows. */
const HALF_WORD = 30

/** @param width of the drawing; on a narrow one some numbers are left out */
export function readDrawing({ rest, edgesNs }: OneRead, width: number): ReadDrawing {
  const room = width - LEFT - RIGHT
  const lead = REST * room
  const spanNs = Math.max(1, edgesNs.at(-1) ?? 0)
  const at = (ns: number): number => LEFT + lead + (ns / spanNs) * (room - 2 * lead)

  const restY = rest === 'high' ? READ_Y.high : READ_Y.low
  const awayY = rest === 'high' ? READ_Y.low : READ_Y.high
  let select = `M${LEFT} ${restY}`
  edgesNs.forEach((ns, k) => {
    const [from, to] = k % 2 === 0 ? [restY, awayY] : [awayY, restY]
    select += `L${round(at(ns) - SLANT)} ${from}L${round(at(ns) + SLANT)} ${to}`
  })
  select += `L${width - RIGHT} ${edgesNs.length % 2 === 0 ? restY : awayY}`

  return {
    height: HEIGHT,
    select,
    cycles: cyclesOf(edgesNs, at),
    spacing: spacingOf(edgesNs, at, width),
    axis: `M${LEFT} ${READ_Y.axis + 0.5}H${width - RIGHT}`,
    ticks: ticksOf(spanNs, at),
  }
}

/** A cycle is numbered over its phase away from rest, which lies between two edges whatever the rest is. */
function cyclesOf(edgesNs: readonly number[], at: (ns: number) => number): Word[] {
  const words: Word[] = []
  for (let k = 0; k + 1 < edgesNs.length; k += 2) {
    const x = round((at(edgesNs[k] ?? 0) + at(edgesNs[k + 1] ?? 0)) / 2)
    if (x - (words.at(-1)?.x ?? -Infinity) >= CYCLE_ROOM) words.push({ x, text: String(k / 2 + 1) })
  }
  return words
}

function spacingOf(edgesNs: readonly number[], at: (ns: number) => number, width: number) {
  const spacings = edgesNs.slice(1).map((ns, k) => ns - (edgesNs[k] ?? 0))
  const leastNs = Math.min(...spacings)
  const k = spacings.indexOf(leastNs)
  const [from, to] = [round(at(edgesNs[k] ?? 0)), round(at(edgesNs[k + 1] ?? 0))]
  const y = READ_Y.spacing
  // Where there is no room between the hairlines, the arrows come from outside.
  const inward = to - from >= 3 * ARROW
  const [tail, head] = inward ? [ARROW, 0] : [-ARROW, 0]
  const arrow = (x: number, sign: number) =>
    `M${x + sign * tail} ${y - 3}L${x + sign * head} ${y}L${x + sign * tail} ${y + 3}`
  const line = inward
    ? `M${from} ${y}H${to}`
    : `M${from - 3 * ARROW} ${y}H${from}M${to} ${y}H${to + 3 * ARROW}`
  const middle = (from + to) / 2
  return {
    line: line + arrow(from, 1) + arrow(to, -1),
    hairs: [from, to].map((x) => `M${x} ${READ_Y.high}V${y + 5}`).join(''),
    word: {
      x: round(Math.min(Math.max(middle, LEFT + HALF_WORD), width - RIGHT - HALF_WORD)),
      text: microseconds(leastNs),
    },
  }
}

function ticksOf(spanNs: number, at: (ns: number) => number): Word[] {
  const stepNs = tickStep((TICK_ROOM * spanNs) / (at(spanNs) - at(0)))
  const ticks: Word[] = []
  for (let k = 0; k * stepNs <= spanNs; k++) {
    const ns = k * stepNs
    ticks.push({ x: round(at(ns)), text: ns === 0 ? '0' : microseconds(ns) })
  }
  return ticks
}

/** The least of 1, 2 and 5 times a power of ten that is as large as this, in whole ns. */
export function tickStep(leastNs: number): number {
  const power = 10 ** Math.max(0, Math.floor(Math.log10(leastNs)))
  return [1, 2, 5, 10].map((times) => times * power).find((step) => step >= leastNs) ?? 10 * power
}

const round = (x: number): number => Math.round(2 * x) / 2
