import type { Burst, Bursts } from './bursts.ts'
import { countsOf, usualOf } from './counts.ts'
import type { Frames } from './frames.ts'
import type { Shape } from './shapes.ts'
import type { SelectLine } from '../select-line.ts'

/** How many kinds of other reads are told. */
const MOST_OTHERS = 4

/** Edges of a read that the capture cuts are spaced as those of other reads where they differ by no more than this share. */
const ALIKE = 0.1

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

const cyclesOf = ({ edges }: Burst): number => edges / 2

/** The usual read out of all whole ones; nothing where there is none. */
export function readsOf(line: SelectLine, { whole, cut }: Bursts): Reads | null {
  if (whole.length === 0) return null
  const { timesNs } = line
  const cycles = whole.map(cyclesOf)
  const { cyclesPerRead, spacingNs } = usualRead(line, whole, cut)
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
  return { cyclesPerRead, spacingNs, usual, of: whole.length, others }
}

/** How often the usual number of cycles comes, and how far apart its edges are. */
function usualRead(
  { timesNs }: SelectLine,
  whole: readonly Burst[],
  cut: readonly Burst[],
): Pick<Reads, 'cyclesPerRead' | 'spacingNs'> {
  const cyclesPerRead = usualOf(whole.map(cyclesOf))
  let minNs = Number.POSITIVE_INFINITY
  let maxNs = 0
  const widen = (bursts: readonly Burst[], fromNs: number, toNs: number): void => {
    for (const { first, edges } of bursts)
      for (let k = first + 1; k < first + edges; k++) {
        const spacingNs = (timesNs[k] ?? 0) - (timesNs[k - 1] ?? 0)
        if (spacingNs < fromNs || spacingNs > toNs) continue
        minNs = Math.min(minNs, spacingNs)
        maxNs = Math.max(maxNs, spacingNs)
      }
  }
  widen(
    whole.filter((burst) => cyclesOf(burst) === cyclesPerRead),
    0,
    Number.POSITIVE_INFINITY,
  )
  widen(cut, (1 - ALIKE) * minNs, (1 + ALIKE) * maxNs)
  return { cyclesPerRead, spacingNs: { minNs, maxNs } }
}

export const shapeOf = ({ cyclesPerRead, spacingNs }: Pick<Reads, 'cyclesPerRead' | 'spacingNs'>): Shape => ({
  cyclesPerRead,
  edgeSpacingNs: spacingNs,
})

/** Reads at two places of the frame are of two kinds where their cycles differ, or their longest phases by more than this factor. */
const UNLIKE = 2

/** What the read at each place of the frame looks like: all of them alike, unless the usual reads of two places are of two kinds. */
export function shapesOfFrame(
  line: SelectLine,
  { whole, cut }: Bursts,
  usual: Reads,
  { readsAt }: Pick<Frames, 'readsAt'>,
): Shape[] {
  const shapes = readsAt.map((reads) =>
    shapeOf(
      usualRead(
        line,
        reads.flatMap((k) => whole[k] ?? []),
        cut,
      ),
    ),
  )
  const longestNs = shapes.map(({ edgeSpacingNs }) => edgeSpacingNs.maxNs)
  const isOfOneKind =
    shapes.every(({ cyclesPerRead }) => cyclesPerRead === shapes[0]?.cyclesPerRead) &&
    Math.max(...longestNs) <= UNLIKE * Math.min(...longestNs)
  return isOfOneKind || readsAt.some((reads) => reads.length === 0)
    ? readsAt.map(() => shapeOf(usual))
    : shapes
}
