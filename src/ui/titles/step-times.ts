import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { PlainStep, Title } from '../../title/schema.ts'
import { turnsOf } from '../../title/steps/turns.ts'
import { writeOut } from '../../title/steps/write-out.ts'
import { readAt } from './step-places.ts'
import type { ReadPlace } from '../../title/schedule.ts'
import type { RowPlace } from './step-places.ts'

/** A step of a read, with repeats written out, at the middle of its times. */
export interface TimedStep {
  readonly step: PlainStep
  readonly place: RowPlace
  /** From the start of the read. */
  readonly atNs: number
  /** Where the time begins that `after` counts from. */
  readonly fromNs: number
  /** Level that select is at, or on its way to, from this step on. */
  readonly level: Level
  /** After a release, from it to the rise; 0 for a driven edge. */
  readonly riseNs: number
  /** From the last edge that is driven at least to this sample; `null` where there is none, or it is not a sample. */
  readonly soonestNs: number | null
}

const middle = ({ minNs, maxNs }: RangeNs): number => Math.round((minNs + maxNs) / 2)

/** Level of select before a read, from what the reads before it in its mode leave it at. */
export function startLevel(title: Title, { mode, read }: ReadPlace): Level {
  const own = title.modes[mode]
  if (own === undefined) return title.idle
  const order = [...new Set(turnsOf(title, own, ['modes', mode]).turns.map(({ number }) => number))]
  const at = order.indexOf(read)
  // What came last before it, the reads of the frame before counted.
  const before = [...order.slice(at), ...order.slice(0, at)]
  const edges = before.flatMap((k) =>
    writeOut(own.reads[k] ?? { steps: [] }, []).flatMap(({ step }) =>
      'select' in step ? [step.select] : [],
    ),
  )
  const last = edges.at(-1)
  return last === undefined ? title.idle : last === 'low' ? 'low' : 'high'
}

/** The steps of a read in time. The title has to be one that was read. */
export function timedSteps(title: Title, place: ReadPlace): TimedStep[] {
  const read = readAt(title, place)
  if (read === undefined) return []
  let level = startLevel(title, place)
  let stepNs = 0
  let edgeNs = 0
  /** At least since the last driven edge. */
  let drivenNs: number | null = null
  let soonNs = 0
  return writeOut(read, ['modes', place.mode, 'reads', place.read]).map(({ step, at }): TimedStep => {
    const fromNs = step.since === 'edge' ? edgeNs : stepNs
    const leastNs = (step.since === 'edge' ? 0 : soonNs) + step.after.minNs
    const [, , , , , outer, , inner] = at as readonly (string | number)[]
    const row: RowPlace =
      inner === undefined
        ? { ...place, group: null, step: Number(outer) }
        : { ...place, group: Number(outer), step: Number(inner) }
    let atNs = fromNs + middle(step.after)
    let riseNs = 0
    let soonestNs: number | null = null
    if ('select' in step) {
      level = step.select === 'low' ? 'low' : 'high'
      if (step.select === 'release' && title.rise) riseNs = middle(title.rise)
      soonNs = 0
      drivenNs = step.select === 'release' ? null : 0
    } else {
      soonNs = leastNs
      if (drivenNs !== null) soonestNs = leastNs
    }
    const timed = { step, place: row, atNs, fromNs, level, riseNs, soonestNs }
    // What follows a wait counts from the rise.
    if ('select' in step && step.waits) atNs += riseNs
    stepNs = atNs
    if ('select' in step) edgeNs = atNs
    return timed
  })
}

/**
 * The least time from an edge that a program drives to its next sample, in ns: 4 cycles of the 7.67 MHz processor (from memory).
 */
export const SOONEST_SAMPLE_NS = 521

/** The soonest sample of a title that no program can take so soon after the edge that it drives, in ns; `null` where there is none. */
export function tooSoonNs(title: Title): number | null {
  const all = title.modes.flatMap(({ reads }, mode) =>
    reads.flatMap((_, read) =>
      timedSteps(title, { mode, read }).flatMap(({ soonestNs }) => (soonestNs === null ? [] : [soonestNs])),
    ),
  )
  const soonest = Math.min(...all)
  return soonest < SOONEST_SAMPLE_NS ? soonest : null
}
