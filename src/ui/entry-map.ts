import { keyOf, newId } from '../shelf/entry.ts'
import type { Entry, EntryKey } from '../shelf/entry.ts'
import { sameJson } from '../document/same-json.ts'
import type { Change } from './history.ts'

/** The shelf as it stands: documents by key. Never changed in place; an edit gives a new one. */
export type EntryMap = ReadonlyMap<EntryKey, Entry>

export const entryMap = (entries: readonly Entry[]): EntryMap =>
  new Map(entries.map((one) => [keyOf(one), one]))

/** The shelf after some changes. */
export function withChanges(map: EntryMap, changes: readonly Change[]): EntryMap {
  const next = new Map(map)
  for (const { key, after } of changes) {
    if (after) next.set(key, after)
    else next.delete(key)
  }
  return next
}

/** What of a saved shelf is not there yet; where something else stands under its key, under an id of its own. */
export function broughtBack(map: EntryMap, saved: readonly Entry[]): readonly Entry[] {
  const added = new Map<EntryKey, Entry>()
  for (const entry of saved) {
    const here = map.get(keyOf(entry)) ?? added.get(keyOf(entry))
    if (here && sameJson(here.document, entry.document)) continue
    const back: Entry = here ? { ...entry, id: newId(), origin: 'own' } : entry
    added.set(keyOf(back), back)
  }
  return [...added.values()]
}

/** A map without some keys; the same where it has none of them. */
export function without<V>(
  map: ReadonlyMap<EntryKey, V>,
  keys: readonly EntryKey[],
): ReadonlyMap<EntryKey, V> {
  if (!keys.some((key) => map.has(key))) return map
  const left = new Map(map)
  for (const key of keys) left.delete(key)
  return left
}
