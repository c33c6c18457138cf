import { sameJson } from '../../document/same-json.ts'
import type { Level } from '../../port/pins.ts'
import type { RangeNs } from '../../port/range.ts'
import type { ShortTitle } from '../short-title.ts'

/** What a read looks like, as far as edges show it. */
export type Shape = Pick<ShortTitle, 'cyclesPerRead' | 'edgeSpacingNs'>

const NONE: RangeNs = { minNs: 0, maxNs: 0 }

/** From the place of a read to its first edge: from rest high the first phase is the rest itself. */
export const opensAfter = ({ edgeSpacingNs }: Pick<Shape, 'edgeSpacingNs'>, rest: Level): RangeNs =>
  rest === 'high' ? edgeSpacingNs : NONE

/** The longest that a read takes from its place to its last edge, in ns. */
export const longestReadNs = ({ cyclesPerRead, edgeSpacingNs }: Shape): number =>
  2 * cyclesPerRead * edgeSpacingNs.maxNs

/** The longest phase of any of these, in ns. */
export const longestPhaseNs = (shapes: readonly Shape[]): number =>
  Math.max(...shapes.map(({ edgeSpacingNs }) => edgeSpacingNs.maxNs))

/** The reads of a frame by their shape, each with their places in it, from 0. */
export function kindsOf(
  shapes: readonly Shape[],
): { readonly shape: Shape; readonly reads: readonly number[] }[] {
  const kinds: { readonly shape: Shape; readonly reads: number[] }[] = []
  shapes.forEach((shape, read) => {
    const known = kinds.find((kind) => sameJson(kind.shape, shape))
    if (known) known.reads.push(read)
    else kinds.push({ shape, reads: [read] })
  })
  return kinds
}
