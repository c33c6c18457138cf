import type { Field } from '../layout/schema.ts'
import type { Finding } from './decide.ts'

/** Clockwise, as a hat counts. */
export const HAT_WAYS = ['up', 'right', 'down', 'left'] as const
export type HatWay = (typeof HAT_WAYS)[number]

export interface FoundHat {
  readonly field: Field
  readonly first: number
  readonly positions: 4 | 8
}

interface WayFound {
  readonly way: HatWay
  readonly finding: Finding
}

/** Where up would be, by each way: all the same in a hat. */
const firstsOf = (all: readonly WayFound[], positions: 4 | 8): number[] =>
  all.map(({ way, finding }) => finding.trace.value - (HAT_WAYS.indexOf(way) * positions) / 4)

/** The most frequent, and how often it is there. */
function majority(values: readonly number[]): { readonly value: number; readonly votes: number } {
  const votes = (value: number): number => values.filter((other) => other === value).length
  const value = values.toSorted((a, b) => votes(b) - votes(a))[0] ?? 0
  return { value, votes: votes(value) }
}

/** The hat that the ways of one cross make up; `null` if they make up none. */
export function hatOf(all: readonly WayFound[]): FoundHat | null {
  const place = all[0]?.finding.place
  if (place === undefined || all.some(({ finding }) => finding.place !== place)) return null
  const { kind, field, least, most } = place
  if (kind === 'hat') {
    const positions = most - least === 7 ? 8 : 4
    const { value, votes } = majority(firstsOf(all, positions))
    // A thumb that slipped to a diagonal is outvoted; a single way has the descriptor's word that up is the least.
    return votes >= 2 || (all.length === 1 && value === least) ? { field, first: value, positions } : null
  }
  // Undescribed bits: three of four separate buttons may look like a hat, four never do.
  if (kind !== 'raw-hat' || all.length < HAT_WAYS.length) return null
  for (const positions of [8, 4] as const) {
    const { value: first, votes } = majority(firstsOf(all, positions))
    const rest = all[0]?.finding.trace.rest ?? first
    if (votes === all.length && (rest < first || rest >= first + positions))
      return { field, first, positions }
  }
  return null
}
