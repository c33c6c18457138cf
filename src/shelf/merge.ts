import { readEntry } from './entry.ts'
import type { Entry } from './entry.ts'
import { sameJson } from './same.ts'

/** Two versions of one entry joined. */
export interface Merged {
  readonly entry: Entry
  /** Fields that both sides changed differently, as JSON paths; `ours` has the word there. */
  readonly conflicts: readonly string[]
}

type Json = unknown
type Fields = Readonly<Record<string, Json>>

const isFields = (value: Json): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/**
 * Three-way merge of plain JSON: what only one side changed is taken from that side; what both changed differently is taken
 * from `ours` and named in `conflicts`. Lists are merged item by item where all three have the same length, else as a whole.
 */
export function mergeJson(base: Json, ours: Json, theirs: Json, conflicts: string[] = [], at = ''): Json {
  if (sameJson(ours, theirs) || sameJson(base, theirs)) return ours
  if (sameJson(base, ours)) return theirs
  if (isFields(base) && isFields(ours) && isFields(theirs)) {
    const merged: Record<string, Json> = {}
    for (const key of new Set([...Object.keys(ours), ...Object.keys(theirs)])) {
      const value = mergeJson(base[key], ours[key], theirs[key], conflicts, at === '' ? key : `${at}.${key}`)
      if (value !== undefined) merged[key] = value
    }
    return merged
  }
  if (Array.isArray(base) && Array.isArray(ours) && Array.isArray(theirs)) {
    if (base.length === ours.length && base.length === theirs.length) {
      return ours.map((one, k) => mergeJson(base[k], one, theirs[k], conflicts, `${at}[${k}]`))
    }
  }
  conflicts.push(at)
  return ours
}

/**
 * Joins this tab's version of an entry with the one that another tab stored meanwhile. The revision is above both. Where the
 * two together are no document that the schema takes, this tab's version stands whole.
 *
 * @param base the version that both began with
 */
export function mergeEntries(base: Entry, ours: Entry, theirs: Entry): Merged {
  const revision = Math.max(ours.revision, theirs.revision) + 1
  const conflicts: string[] = []
  const merged = readEntry({
    ...(mergeJson(
      { ...base, revision: 0 },
      { ...ours, revision: 0 },
      { ...theirs, revision: 0 },
      conflicts,
    ) as object),
    revision,
  })
  if (merged.ok) return { entry: merged.value, conflicts: conflicts.map(withinDocument) }
  return { entry: { ...ours, revision }, conflicts: ['document'] }
}

const withinDocument = (path: string): string => path.replace(/^document\./, '')
