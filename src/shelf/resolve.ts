import type { Entry } from './entry.ts'
import { mergeEntries } from './merge.ts'
import { sameJson } from '../document/same-json.ts'

/** What the store holds under a key at the moment of writing. */
export type Stored =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'entry'; readonly entry: Entry }
  /** Damaged, or of a newer version: never overwritten. */
  | { readonly kind: 'unreadable' }

/** What a write becomes in view of what is stored. */
export type Resolution =
  /** Stored under its key. `theirs` is another tab's version that came in between and is merged in. */
  | {
      readonly kind: 'put'
      readonly entry: Entry
      readonly theirs: Entry | null
      readonly conflicts: readonly string[]
    }
  /** Nothing is written: the stored entry, or its absence, is what this tab has from now on. */
  | { readonly kind: 'adopt'; readonly entry: Entry | null }
  | { readonly kind: 'delete' }
  /** Stored under a new id, since what stands under the key must stay; `there` is that, where it can be read. */
  | { readonly kind: 'fork'; readonly entry: Entry; readonly there: Entry | null }

const sameEntry = (a: Entry, b: Entry): boolean => a.revision === b.revision && sameJson(a, b)

/**
 * Decides within the transaction what a write does, so that the stored revision of a document never goes down and a record that
 * cannot be read is never overwritten, whatever other tabs did since this one last looked.
 *
 * @param base what this tab last knew to be stored; `null` where it knew of nothing
 * @param ours what this tab wants to store; `null` takes the entry off the shelf
 * @param newId gives an id that no entry has
 */
export function resolve(
  base: Entry | null,
  ours: Entry | null,
  stored: Stored,
  newId: () => string,
): Resolution {
  if (stored.kind === 'nothing') {
    if (ours === null) return { kind: 'adopt', entry: null }
    return { kind: 'put', entry: ours, theirs: null, conflicts: [] }
  }
  if (stored.kind === 'unreadable') {
    // The demo comes from files and needs no copy.
    if (ours === null || ours.origin === 'demo') return { kind: 'adopt', entry: null }
    return { kind: 'fork', entry: { ...ours, id: newId() }, there: null }
  }
  const { entry } = stored
  const isUnchanged = base !== null && sameEntry(base, entry)
  // Another tab changed what this one wants to take off: its work is not thrown away unseen.
  if (ours === null) return isUnchanged ? { kind: 'delete' } : { kind: 'adopt', entry }
  if (sameJson({ ...ours, revision: 0 }, { ...entry, revision: 0 })) {
    return ours.revision > entry.revision
      ? { kind: 'put', entry: ours, theirs: null, conflicts: [] }
      : { kind: 'adopt', entry }
  }
  if (isUnchanged) {
    const revision = Math.max(ours.revision, entry.revision)
    return { kind: 'put', entry: { ...ours, revision }, theirs: null, conflicts: [] }
  }
  if (base === null) {
    return ours.origin === 'demo'
      ? { kind: 'adopt', entry }
      : { kind: 'fork', entry: { ...ours, id: newId() }, there: entry }
  }
  const { entry: merged, conflicts } = mergeEntries(base, ours, entry)
  if (merged === null) return { kind: 'fork', entry: { ...ours, id: newId() }, there: entry }
  return { kind: 'put', entry: merged, theirs: entry, conflicts }
}
