import type { Chart } from '../port/chart.ts'
import { repliesOf } from '../port/chart.ts'
import type { Cycle } from '../port/chart.ts'
import { PINS } from '../port/pins.ts'
import type { Level } from '../port/pins.ts'
import type { Profile } from '../profile/schema.ts'
import { idleResetRange } from './box.ts'
import type { StatedAdapter } from './judgement.ts'
import { rowAfter, rowsOf, shapeOf } from './reach/shape.ts'

/** Edges of select as they came, with no reading of what they are for. */
export interface EdgeLine {
  /** Level before the first edge. */
  readonly startLevel: Level
  /** When each edge came, ascending, in ns. Each turns the level. */
  readonly edgesNs: ArrayLike<number>
  /** From the last rise before the first edge to it, in ns, at the least; `null`: not known. */
  readonly sinceRiseNs: number | null
}

/** A phase in which the pad can answer otherwise than in its first cycle. */
export interface LaterReply {
  /** The edge that opens the phase, by its place; -1: the line begins with it. */
  readonly edge: number
  readonly atNs: number
  readonly level: Level
  /** Row of the chart that can answer. */
  readonly row: number
}

/** What of a line can be misread by whoever takes every phase for that of a first cycle. */
export interface JudgedLine {
  /** The first such phase with nothing counted before the line; `null`: there is none, so no belief about a sample can hurt by count. */
  readonly danger: LaterReply | null
  /**
   * The same for what may have been counted before: edges until every phase after them is right, 0 where it does not matter; `null`: there are
   * later replies up to the end.
   */
  readonly settlesAfterEdges: number | null
}

/** How far an analyser's clock is taken to be off, in parts per million: crystals of such devices are good to about this (from memory). */
const ANALYSER_PPM = 100

/**
 * Has a profile answer every phase of a line, over the whole range of its idle reset, and over every count that it may begin with, each by itself.
 * What is asked of a phase is whether it is answered as in the first cycle; how soon the reply comes is not.
 */
export function judgeLine(
  profile: Pick<Profile, 'chart' | 'idleResetNs'>,
  line: EdgeLine,
  adapter: StatedAdapter,
): JudgedLine {
  const reset = idleResetRange(profile, adapter)
  const walk = new LineWalk(profile.chart, line, {
    minNs: reset.minNs - Math.ceil((reset.minNs * ANALYSER_PPM) / 1e6),
    maxNs: reset.maxNs + Math.ceil((reset.maxNs * ANALYSER_PPM) / 1e6),
  })
  const danger = walk.later([0]).first
  const rows = Array.from({ length: rowsOf(shapeOf(profile.chart)) }, (_, row) => row)
  if (line.sinceRiseNs !== null && line.sinceRiseNs > walk.resetMostNs)
    return { danger, settlesAfterEdges: 0 }
  const all = rows.slice(1).map((row) => walk.later([row]))
  const last = Math.max(-1, ...all.map(({ last }) => last))
  return { danger, settlesAfterEdges: last === line.edgesNs.length - 1 && last >= 0 ? null : last + 1 }
}

class LineWalk {
  readonly #rows: readonly Cycle[]
  /** Whether a row answers otherwise than the first cycle. */
  readonly #isLater: Readonly<Record<Level, readonly boolean[]>>

  constructor(
    private readonly chart: Chart,
    private readonly line: EdgeLine,
    private readonly reset: { readonly minNs: number; readonly maxNs: number },
  ) {
    this.#rows = repliesOf(chart)
    const differs = (level: Level) =>
      this.#rows.map((row) => PINS.some((pin) => row[level][pin] !== this.#rows[0]?.[level][pin]))
    this.#isLater = { low: differs('low'), high: differs('high') }
  }

  get resetMostNs(): number {
    return this.reset.maxNs
  }

  /** Phases with later replies from these counts on: the first one, and the edge that opens the last one, -2 where there is none. */
  later(counts: readonly number[]): { readonly first: LaterReply | null; readonly last: number } {
    const { edgesNs, startLevel, sinceRiseNs } = this.line
    const shape = shapeOf(this.chart)
    let rows = new Set(counts)
    let level = startLevel
    let first: LaterReply | null = null
    let last = -2
    const firstNs = edgesNs[0] ?? 0
    let riseNs = sinceRiseNs === null ? null : firstNs - sinceRiseNs
    const see = (edge: number, atNs: number): void => {
      for (const row of rows) {
        if (!this.#isLater[level][row]) continue
        first ??= { edge, atNs, level, row }
        last = edge
        return
      }
    }
    see(-1, firstNs)
    for (let edge = 0; edge < edgesNs.length; edge++) {
      const atNs = edgesNs[edge] as number
      // Nobody knows when the last rise before the line was: the reset may come at any time, and at the latest a whole idle reset on.
      const [soonest, latest] =
        riseNs === null
          ? [-Infinity, firstNs + this.reset.maxNs]
          : [riseNs + this.reset.minNs, riseNs + this.reset.maxNs]
      if (atNs > latest) rows = new Set([0])
      else if (atNs >= soonest) rows = new Set([...rows, 0])
      level = level === 'low' ? 'high' : 'low'
      if (level === 'high') {
        rows = new Set([...rows].map((row) => rowAfter(shape, row)))
        riseNs = atNs
      }
      see(edge, atNs)
    }
    return { first, last }
  }
}
