import { findBursts } from '../../title/infer/bursts.ts'
import { usualOf } from '../../title/infer/counts.ts'
import type { SelectLine } from '../../title/infer/line.ts'
import type { OneRead } from './capture-messages.ts'

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
