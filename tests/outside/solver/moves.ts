import type { RangeNs } from '../../../src/port/range.ts'
import { NO, isBy, or } from './problem.ts'
import type { Formula, Instant, Problem } from './problem.ts'

/**
 * What may be out of its range, by so much at the most, as DEVELOPERS.md says of the margin: either one sample is earlier or later against
 * all that comes before it, or idle resets or slow rises all come sooner, or all later.
 */
export interface Moves {
  readonly byNs: number
  readonly sample: Formula
  readonly idleReset: Direction
  readonly rise: Direction
}

export interface Direction {
  readonly sooner: Formula
  readonly later: Formula
}

const STAYS: Direction = { sooner: NO, later: NO }
export const NO_MOVES: Moves = { byNs: 0, sample: NO, idleReset: STAYS, rise: STAYS }

export function oneMove(problem: Problem, byNs: number): Moves {
  if (byNs === 0) return NO_MOVES
  const direction = (): Direction => ({ sooner: problem.choice(), later: problem.choice() })
  const moves: Moves = { byNs, sample: problem.choice(), idleReset: direction(), rise: direction() }
  const { sample, idleReset, rise } = moves
  problem.noTwoOf([sample, idleReset.sooner, idleReset.later, rise.sooner, rise.later])
  return moves
}

/** An instant within a range after another, or outside of it by what moves. @param least nothing moves below it */
export function movedAfter(
  problem: Problem,
  base: Instant,
  { minNs, maxNs }: RangeNs,
  byNs: number,
  { sooner, later }: Direction,
  least = 0,
): Instant {
  const movedNs = sooner === NO ? minNs : Math.max(least, minNs - byNs)
  const at = problem.after(base, { minNs: movedNs, maxNs: later === NO ? maxNs : maxNs + byNs })
  if (sooner !== NO) problem.assert(or(sooner, isBy(base, at, -minNs)))
  if (later !== NO) problem.assert(or(later, isBy(at, base, maxNs)))
  return at
}
