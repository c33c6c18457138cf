import type { RangeNs } from '../port/range.ts'
import type { Title } from './schema.ts'

/** Whether the reads of a mode, counted from 0, are tied to the frame. */
export const isTiedToFrames = ({ modes }: Title, mode: number): boolean =>
  modes[mode]?.reads.every(({ starts }) => starts.kind === 'frame') ?? false

/** How late the reads of a mode begin after their places: from the least of any to the most of any. */
export function latenessOf({ modes }: Title, mode: number): RangeNs {
  const all = (modes[mode]?.reads ?? []).flatMap(({ starts }) =>
    starts.kind === 'frame' ? [starts.late] : [],
  )
  if (all.length === 0) return { minNs: 0, maxNs: 0 }
  return {
    minNs: Math.min(...all.map(({ minNs }) => minNs)),
    maxNs: Math.max(...all.map(({ maxNs }) => maxNs)),
  }
}
