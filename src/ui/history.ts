import type { Entry, EntryKey } from '../shelf/entry.ts'
import { bothChange } from '../shelf/merge.ts'

/** One document before and after; `null` where it was not on the shelf. */
export interface Change {
  readonly key: EntryKey
  readonly before: Entry | null
  readonly after: Entry | null
}

/** One thing that undo takes back. */
export interface Step {
  /** What was done, as the undo button says it: "rename". */
  readonly label: string
  readonly changes: readonly Change[]
  /** The open profile before and after. */
  readonly open: { readonly before: string | null; readonly after: string | null }
  /** Steps of one group that follow closely upon each other are one: typing a name is one step. */
  readonly group: string | null
  readonly atMs: number
}

export interface History {
  readonly past: readonly Step[]
  readonly future: readonly Step[]
}

export const EMPTY_HISTORY: History = { past: [], future: [] }

/** A pause in typing that begins a new step. */
export const GROUP_PAUSE_MS = 1_500
/** Older steps are forgotten. */
export const MAX_STEPS = 500

/** Whether a step would become one with the last. */
export function joins({ past, future }: History, group: string | null, atMs: number): boolean {
  const last = past.at(-1)
  if (!last || group === null || future.length > 0) return false
  return last.group === group && atMs - last.atMs < GROUP_PAUSE_MS
}

/** Takes a step down; what could be done again can no longer. */
export function record(history: History, step: Step): History {
  const { past } = history
  if (!joins(history, step.group, step.atMs)) return { past: [...past, step].slice(-MAX_STEPS), future: [] }
  const last = past.at(-1) as Step
  return { past: [...past.slice(0, -1), join(last, step)], future: [] }
}

function join(first: Step, second: Step): Step {
  const firstBefore = new Map(first.changes.map((change) => [change.key, change]))
  const joined = new Map(first.changes.map((change) => [change.key, change]))
  for (const change of second.changes) {
    // `null` is a state as good as any: the document was not there.
    const earlier = firstBefore.get(change.key)
    joined.set(change.key, earlier ? { ...change, before: earlier.before } : change)
  }
  return {
    ...second,
    label: first.label,
    changes: [...joined.values()],
    open: { before: first.open.before, after: second.open.after },
  }
}

/** Ends the group, so that the next step stands alone. */
export function seal(history: History): History {
  const last = history.past.at(-1)
  if (!last || last.group === null) return history
  return { ...history, past: [...history.past.slice(0, -1), { ...last, group: null }] }
}

/** The step to take back, and the history without it. */
export function back({ past, future }: History): { readonly step: Step; readonly history: History } | null {
  const step = past.at(-1)
  if (!step) return null
  return { step, history: { past: past.slice(0, -1), future: [{ ...step, group: null }, ...future] } }
}

/** The step to do again, and the history with it. */
export function forth({ past, future }: History): { readonly step: Step; readonly history: History } | null {
  const [step, ...rest] = future
  return step ? { step, history: { past: [...past, step], future: rest } } : null
}

/** The steps with what one of them came to when it was taken back or done again. */
export const withStep = (steps: readonly Step[], at: number, changes: readonly Change[]): readonly Step[] =>
  steps.map((step, k) => (k === at ? { ...step, changes } : step))

/** Whether a change meets what any step, taken back or not, did to the same document: undoing the step alone would not give that back. */
export const meets = ({ past, future }: History, change: Change): boolean =>
  [...past, ...future].some((step) =>
    step.changes.some((one) => one.key === change.key && overlap(one, change)),
  )

function overlap(one: Change, other: Change): boolean {
  if (!other.before || !other.after) return true
  if (!one.before || !one.after) return false
  return bothChange(one.before.document, one.after.document, other.before.document, other.after.document)
}

/** The history with an entry under a new key, as it is stored from now on. */
export function renamed({ past, future }: History, from: EntryKey, to: EntryKey): History {
  const id = to.slice(to.indexOf(':') + 1)
  const entry = (one: Entry | null): Entry | null => (one === null ? null : { ...one, id })
  const openId = (one: string | null) => (from === `profile:${one}` ? id : one)
  const step = (one: Step): Step => ({
    ...one,
    open: { before: openId(one.open.before), after: openId(one.open.after) },
    changes: one.changes.map((change) =>
      change.key === from ? { key: to, before: entry(change.before), after: entry(change.after) } : change,
    ),
  })
  return { past: past.map(step), future: future.map(step) }
}
