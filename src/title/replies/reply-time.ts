import type { RangeNs } from '../../port/range.ts'
import { PINS } from '../../port/pins.ts'
import { GLITCH_NS } from '../select-line.ts'
import { cellAt } from './cells.ts'
import type { Cells } from './cells.ts'
import { isInputCell, UNKNOWN_CELL } from './pad-model.ts'
import { DataCursor, SETTLED_BY_NS, endOf, hasEdge, startOf } from './phases.ts'
import type { Phases } from './phases.ts'

/** How long after an edge of select the pins had settled. */
export interface ReplyTime extends RangeNs {
  /** Phases that show it, of all. */
  readonly seen: number
  readonly of: number
}

/** In fewer phases than these a press right after an edge could stand for the reply. */
const LEAST_SEEN = 4

/**
 * The reply time as it was seen in each phase in which a pin had to change: from the edge to the pin's last change. A press looks the same where it comes
 * right after an edge, so only pins count whose inputs read alike before and after.
 *
 * @param opens phases that come after a rest, in which a pad can have forgotten its count
 * @param stepNs how exactly any time in the capture is known
 * @returns `null` where too few phases show it
 */
export function replyTime(
  phases: Phases,
  cells: Cells,
  opens: ReadonlySet<number>,
  stepNs: number,
): ReplyTime | null {
  const steady = steadyReadings(phases, cells)
  const shows = new Uint8Array(phases.count)
  let leastNs = Infinity
  let mostNs = 0
  for (const line of phases.lines) {
    const pin = PINS.indexOf(line.pin)
    const cursor = new DataCursor(line)
    for (let k = 1; k < phases.count; k++) {
      const startNs = startOf(phases, k)
      const byNs = Math.min(endOf(phases, k), startNs + SETTLED_BY_NS)
      // What lies between the phases is passed over.
      cursor.levelBefore(startNs)
      const afterNs = settledAfter(cursor, startNs, byNs)
      const isAnswer = hasEdge(phases, k) && !opens.has(k) && byNs <= phases.untilNs
      if (afterNs === null || !isAnswer || !isSteady(steady, cells, k, pin)) continue
      shows[k] = 1
      leastNs = Math.min(leastNs, afterNs)
      mostNs = Math.max(mostNs, afterNs)
    }
  }
  const seen = shows.reduce((sum, one) => sum + one, 0)
  if (seen < LEAST_SEEN) return null
  return { minNs: Math.max(0, leastNs - stepNs), maxNs: mostNs + stepNs, seen, of: phases.count - 1 }
}

/** How long after a start the last change came; `null` where there is none, or where they are too far apart for one reply. */
function settledAfter(cursor: DataCursor, startNs: number, byNs: number): number | null {
  const firstNs = cursor.changeBefore(byNs)
  if (firstNs === null) return null
  let lastNs = firstNs
  for (;;) {
    const nextNs = cursor.changeBefore(byNs)
    if (nextNs === null) break
    lastNs = nextNs
  }
  return lastNs - firstNs > GLITCH_NS ? null : lastNs - startNs
}

/** For each phase the pins whose input read the same the time before, and the next time. */
interface Steady {
  readonly sinceBefore: Uint8Array
  readonly untilNext: Uint8Array
}

function steadyReadings({ count, high, known }: Phases, cells: Cells): Steady {
  const along = (from: number, step: 1 | -1): Uint8Array => {
    const same = new Uint8Array(count)
    /** The last reading of each input, by its cell. */
    const last = new Map<number, number>()
    for (let k = from; k >= 0 && k < count; k += step)
      for (let pin = 0; pin < PINS.length; pin++) {
        const code = cellAt(cells, k, pin)
        if (!isInputCell(code) || (((known[k] as number) >> pin) & 1) === 0) continue
        const level = ((high[k] as number) >> pin) & 1
        if (last.get(code) === level) same[k] = (same[k] as number) | (1 << pin)
        last.set(code, level)
      }
    return same
  }
  return { sinceBefore: along(0, 1), untilNext: along(count - 1, -1) }
}

/** Whether the change of a pin into a phase can come of nothing but the edge. */
function isSteady({ sinceBefore, untilNext }: Steady, cells: Cells, phase: number, pin: number): boolean {
  const [before, now] = [cellAt(cells, phase - 1, pin), cellAt(cells, phase, pin)]
  if (before === UNKNOWN_CELL || now === UNKNOWN_CELL || before === now) return false
  const has = (bits: Uint8Array, k: number): boolean => (((bits[k] as number) >> pin) & 1) === 1
  if (isInputCell(before) && !has(untilNext, phase - 1)) return false
  return !isInputCell(now) || (has(sinceBefore, phase) && has(untilNext, phase))
}
