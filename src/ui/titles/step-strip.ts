import type { Level } from '../../port/pins.ts'
import { timeWord } from '../../words/figures.ts'
import type { Label } from '../chart/paper.ts'
import { rowKey } from './step-places.ts'
import type { RowPlace } from './step-places.ts'
import type { TimedStep } from './step-times.ts'

/** One read drawn in time: select as a line, its samples as triangles under it. */
export interface StepStrip {
  readonly width: number
  readonly height: number
  readonly select: string
  readonly marks: readonly StripMark[]
  readonly axis: string
  readonly labels: readonly Label[]
  /** What one CSS px stands for, in ns. */
  readonly nsPerPx: number
}

export interface StripMark {
  /** Of the step in the file; a step that is repeated has several marks. */
  readonly place: RowPlace
  /** Which of them, from 0: every mark has a key of its own. */
  readonly key: string
  readonly isFirst: boolean
  readonly isSample: boolean
  /** Taken only where something is detected. */
  readonly isDashed: boolean
  readonly x: number
  /** From the earliest to the latest that the step can come after what it counts from. */
  readonly reach: { readonly x: number; readonly width: number }
  /** A line up through select, and a triangle at its foot; for an edge a line alone. */
  readonly line: string
  readonly mark: string
  readonly timed: TimedStep
}

/** Where the line of select stands, and what lies beneath it. */
export const STRIP = { high: 24, low: 48, foot: 62, axis: 82, height: 104, lead: 16, least: 7 } as const

/**
 * Lays a read out for a width; with many steps it grows wider, so that each can be told from the next.
 *
 * @param width of the paper, in CSS px
 * @param lastsNs what the width stands for; as long as the read takes, where it is left out
 */
export function stepStrip(
  steps: readonly TimedStep[],
  start: Level,
  width: number,
  lastsNs = lengthNs(steps),
): StepStrip {
  const { high, low, foot, axis, height, lead, least } = STRIP
  const wide = Math.max(width, 2 * lead + steps.length * least)
  const nsPerPx = lastsNs / (wide - 2 * lead)
  const at = (ns: number): number => Math.round((lead + ns / nsPerPx) * 10) / 10
  const across = (level: Level): number => (level === 'high' ? high : low)
  const seen = new Set<string>()
  const marks = steps.map((timed, k): StripMark => {
    const { step, place, atNs } = timed
    const row = rowKey(place)
    const isFirst = !seen.has(row)
    seen.add(row)
    const x = at(atNs)
    const halfNs = (step.after.maxNs - step.after.minNs) / 2
    const isSample = 'sample' in step
    return {
      place,
      key: `${row} ${k}`,
      isFirst,
      isSample,
      isDashed: step.when !== 'always',
      x,
      reach: { x: at(atNs - halfNs), width: Math.max(1, Math.round((2 * halfNs) / nsPerPx)) },
      line: `M${x} ${high - 8}V${isSample ? foot : low + 6}`,
      mark: isSample ? `M${x} ${foot}L${x - 5} ${foot + 9}L${x + 5} ${foot + 9}Z` : '',
      timed,
    }
  })
  let path = `M0 ${across(start)}`
  let level = start
  steps.forEach((timed, k) => {
    const { step, atNs, riseNs } = timed
    if (!('select' in step)) return
    const x = at(atNs)
    const next = steps.slice(k + 1).find((one) => 'select' in one.step)
    if (riseNs > 0 && level === 'low') {
      // A line that is let go comes up along its own curve; a low before that ends it.
      const up = Math.min(at(atNs + riseNs), next ? at(next.atNs) : wide)
      path += `H${x}Q${x + (up - x) * 0.3} ${high + 2} ${up} ${high}`
    } else path += `H${x}V${across(timed.level)}`
    level = timed.level
  })
  path += `H${wide}`
  return {
    width: wide,
    height,
    select: path,
    marks,
    axis: `M${lead} ${axis}H${wide - lead}M${lead} ${axis - 4}V${axis + 4}M${wide - lead} ${axis - 4}V${axis + 4}`,
    labels: [
      { x: 0, y: axis + 14, text: timeWord(0), anchor: 'start' },
      { x: wide, y: axis + 14, text: timeWord(Math.round(lastsNs)), anchor: 'end' },
    ],
    nsPerPx,
  }
}

/** How much of time a strip shows: the read, and a little after it. */
export function lengthNs(steps: readonly TimedStep[]): number {
  const last = Math.max(0, ...steps.map(({ atNs, riseNs }) => atNs + riseNs))
  return Math.max(1_000, Math.ceil((last * 1.08) / 100) * 100)
}
