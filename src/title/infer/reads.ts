import type { Burst, Bursts } from './bursts.ts'
import { countsOf, usualOf } from './counts.ts'
import type { SelectLine } from '../select-line.ts'

/** How many kinds of other reads are told. */
const MOST_OTHERS = 4

/** What the usual read looks like. */
export interface Reads {
  readonly cyclesPerRead: number
  readonly spacingNs: { readonly minNs: number; readonly maxNs: number }
  /** How many reads are like this, of all whole ones. */
  readonly usual: number
  readonly of: number
  /** Reads with other numbers of cycles, the most frequent first. */
  readonly others: readonly { readonly cycles: number; readonly reads: number; readonly firstNs: number }[]
}

/** The usual read out of all whole ones; nothing where there is none. */
export function readsOf({ timesNs }: SelectLine, { whole }: Bursts): Reads | null {
  if (whole.length === 0) return null
  const cyclesOf = ({ edges }: Burst) => edges / 2
  const cycles = whole.map(cyclesOf)
  const cyclesPerRead = usualOf(cycles)
  let minNs = Number.POSITIVE_INFINITY
  let maxNs = 0
  for (const burst of whole) {
    if (cyclesOf(burst) !== cyclesPerRead) continue
    for (let k = burst.first + 1; k < burst.first + burst.edges; k++) {
      const spacingNs = (timesNs[k] ?? 0) - (timesNs[k - 1] ?? 0)
      minNs = Math.min(minNs, spacingNs)
      maxNs = Math.max(maxNs, spacingNs)
    }
  }
  const counts = countsOf(cycles)
  const others = [...counts]
    .filter(([other]) => other !== cyclesPerRead)
    .sort(([, one], [, other]) => other - one)
    .slice(0, MOST_OTHERS)
    .map(([other, reads]) => {
      const first = whole.find((burst) => cyclesOf(burst) === other)?.first ?? 0
      return { cycles: other, reads, firstNs: timesNs[first] ?? 0 }
    })
  const usual = counts.get(cyclesPerRead) ?? 0
  return { cyclesPerRead, spacingNs: { minNs, maxNs }, usual, of: whole.length, others }
}
