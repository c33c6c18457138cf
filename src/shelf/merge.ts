import { readEntry } from './entry.ts'
import type { Entry } from './entry.ts'
import { sameJson } from '../document/same-json.ts'

/** Two versions of one entry joined. */
export interface Merged {
  /** `null` where the two together are no document that the schema takes. */
  readonly entry: Entry | null
  /** Fields that both sides changed differently, as JSON paths; `ours` has the word there. */
  readonly conflicts: readonly string[]
}

type Json = unknown
type Fields = Readonly<Record<string, Json>>

const isFields = (value: Json): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** A key that every object inherits, such as `constructor`, is no field of it. */
const own = (fields: Fields, key: string): Json => (Object.hasOwn(fields, key) ? fields[key] : undefined)

/**
 * Three-way merge of plain JSON: what only one side changed is taken from that side; what both changed differently is taken
 * from `ours` and named in `conflicts`. Lists are merged item by item where all three have the same length, else as a whole.
 */
export function mergeJson(base: Json, ours: Json, theirs: Json, conflicts: string[] = [], at = ''): Json {
  if (sameJson(ours, theirs) || sameJson(base, theirs)) return ours
  if (sameJson(base, ours)) return theirs
  if (isFields(base) && isFields(ours) && isFields(theirs)) {
    const keys = [...new Set([...Object.keys(ours), ...Object.keys(theirs)])]
    const merged = keys.map((key): [string, Json] => {
      const path = at === '' ? key : `${at}.${key}`
      return [key, mergeJson(own(base, key), own(ours, key), own(theirs, key), conflicts, path)]
    })
    return Object.fromEntries(merged.filter(([, value]) => value !== undefined))
  }
  if (Array.isArray(base) && Array.isArray(ours) && Array.isArray(theirs)) {
    if (base.length === ours.length && base.length === theirs.length) {
      return ours.map((one, k) => mergeJson(base[k], one, theirs[k], conflicts, `${at}[${k}]`))
    }
  }
  conflicts.push(at)
  return ours
}

/** Whether two changes of plain JSON change any field that is the same, in the sense of {@link mergeJson}. */
export function bothChange(before: Json, after: Json, otherBefore: Json, otherAfter: Json): boolean {
  if (sameJson(before, after) || sameJson(otherBefore, otherAfter)) return false
  if (isFields(before) && isFields(after) && isFields(otherBefore) && isFields(otherAfter)) {
    return [...new Set([...Object.keys(before), ...Object.keys(after)])].some((key) =>
      bothChange(own(before, key), own(after, key), own(otherBefore, key), own(otherAfter, key)),
    )
  }
  const lists = [before, after, otherBefore, otherAfter].filter((one): one is Json[] => Array.isArray(one))
  const [a, b, c, d] = lists
  if (!a || !b || !c || !d || lists.some(({ length }) => length !== a.length)) return true
  return a.some((one, k) => bothChange(one, b[k], c[k], d[k]))
}

/**
 * Joins this tab's version of an entry with the one that another tab stored meanwhile. The revision is above both.
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
  return { entry: merged.ok ? merged.value : null, conflicts: conflicts.map(withinDocument) }
}

const withinDocument = (path: string): string => path.replace(/^document\./, '')
