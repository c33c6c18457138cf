import type { Level } from '../../port/pins.ts'
import { findBursts } from '../infer/bursts.ts'
import { usualOf } from '../infer/counts.ts'
import type { SelectLine } from '../select-line.ts'

/** Select in one of the usual reads. */
export interface OneRead {
  readonly rest: Level
  /** When its first edge comes, on the capture's clock. */
  readonly startNs: number
  /** From the first edge, which is at 0. */
  readonly edgesNs: readonly number[]
}

/** Twice what a read of a title file may have; a longer one is no read, and nobody could tell its edges apart. */
const MOST_EDGES = 64

/** Takes one of the usual reads out of the midst of a line; nothing where there is none. */
export function oneRead(line: SelectLine): OneRead | null {
  const { rest, whole } = findBursts(line)
  const usual = usualOf(whole.map(({ edges }) => edges))
  const alike = whole.filter(({ edges }) => edges === usual)
  const burst = alike[alike.length >> 1]
  if (burst === undefined || burst.edges > MOST_EDGES) return null
  const timesNs = line.timesNs.subarray(burst.first, burst.first + burst.edges)
  const startNs = timesNs[0] ?? 0
  return { rest, startNs, edgesNs: Array.from(timesNs, (ns) => ns - startNs) }
}
