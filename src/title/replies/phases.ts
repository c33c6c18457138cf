import type { PinBits } from '../../port/pins.ts'
import { PINS } from '../../port/pins.ts'
import { HIGH, LOW, UNKNOWN } from '../select-line.ts'
import type { SelectLine } from '../select-line.ts'
import type { DataLine } from './data-lines.ts'

/** A reply has settled within this time, in ns: more than any pad takes, and less than any idle reset (from memory: 1.1 ms). */
export const SETTLED_BY_NS = 50_000

/** Most phases that are looked at: hours of reads. */
const MOST_PHASES = 2 ** 21

/** Every phase of a select line with what the data lines had settled to in it. Phase `k` begins with entry `k` of the line. */
export interface Phases {
  readonly count: number
  readonly select: SelectLine
  readonly lines: readonly DataLine[]
  /** From the first of them on nothing is known of some line. */
  readonly untilNs: number
  /** By phase, the pins that were high, and those of which that is known. */
  readonly high: Uint8Array
  readonly known: Uint8Array
}

export const startOf = ({ select }: Phases, phase: number): number => select.timesNs[phase] ?? select.endNs

/** When a phase ends, in the last one with the capture. */
export const endOf = ({ select }: Phases, phase: number): number => select.timesNs[phase + 1] ?? select.endNs

export const isHigh = ({ select }: Phases, phase: number): boolean => select.levels[phase] === HIGH

/** Whether a phase is opened by an edge of select. */
export const hasEdge = ({ select: { levels } }: Phases, phase: number): boolean =>
  phase > 0 && levels[phase] !== UNKNOWN && levels[phase - 1] !== UNKNOWN

/** Goes along a data line from its start to its end. */
export class DataCursor {
  #next = 0

  constructor(readonly line: DataLine) {}

  /** The level right before a time, no earlier than the one before. */
  levelBefore(ns: number): number {
    const { timesNs, levels } = this.line
    while ((timesNs[this.#next] ?? Infinity) < ns) this.#next++
    return levels[this.#next - 1] ?? UNKNOWN
  }

  /** When the line next changes before that time; `null`: it does not. Only from one known level to the other. */
  changeBefore(ns: number): number | null {
    const { timesNs, levels } = this.line
    while ((timesNs[this.#next] ?? Infinity) < ns) {
      const at = this.#next++
      const isChange = at > 0 && levels[at] !== UNKNOWN && levels[at - 1] !== UNKNOWN
      if (isChange) return timesNs[at] as number
    }
    return null
  }
}

/** @param stepNs time between samples: what was seen in a phase shorter than two of them can have been seen right at its edge */
export function phasesOf(select: SelectLine, lines: readonly DataLine[], stepNs: number): Phases {
  const untilNs = Math.min(select.endNs, ...lines.map(({ endNs }) => endNs))
  let count = Math.min(select.timesNs.length, MOST_PHASES)
  while (count > 0 && (select.timesNs[count - 1] ?? 0) > untilNs) count--
  const high = new Uint8Array(count)
  const known = new Uint8Array(count)
  for (const line of lines) {
    const cursor = new DataCursor(line)
    const bit: PinBits = 1 << PINS.indexOf(line.pin)
    for (let k = 0; k < count; k++) {
      const startNs = select.timesNs[k] as number
      const endNs = select.timesNs[k + 1] ?? select.endNs
      const level = cursor.levelBefore(Math.min(endNs, startNs + SETTLED_BY_NS))
      const isSeen = endNs <= untilNs && endNs - startNs >= 2 * stepNs
      if (select.levels[k] === UNKNOWN || level === UNKNOWN || !isSeen) continue
      known[k] = (known[k] as number) | bit
      if (level !== LOW) high[k] = (high[k] as number) | bit
    }
  }
  return { count, select, lines, untilNs, high, known }
}
