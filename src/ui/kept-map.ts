import { keyOf } from '../shelf/kept.ts'
import type { Kept, KeptKey } from '../shelf/kept.ts'
import type { Change } from './history.ts'

/** The shelf as it stands: documents by key. Never changed in place; an edit gives a new one. */
export type KeptMap = ReadonlyMap<KeptKey, Kept>

export const keptMap = (kept: readonly Kept[]): KeptMap => new Map(kept.map((one) => [keyOf(one), one]))

/** The shelf after some changes. */
export function withChanges(map: KeptMap, changes: readonly Change[]): KeptMap {
  const next = new Map(map)
  for (const { key, after } of changes) {
    if (after) next.set(key, after)
    else next.delete(key)
  }
  return next
}
