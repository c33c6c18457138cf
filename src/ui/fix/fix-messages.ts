import type { FixOutcome } from '../../bench/fix.ts'
import type { JudgeOptions } from '../../bench/judge.ts'
import type { Profile } from '../../profile/schema.ts'
import { sameJson } from '../../shelf/same.ts'
import type { Title } from '../../title/schema.ts'

/** What is looked for: changes to the profile that make all these titles read it right. */
export interface FixQuestion {
  readonly profile: Profile
  readonly titles: readonly Title[]
  /** The rest of the shelf, which a fix must not spoil unsaid. */
  readonly others: readonly Title[]
  readonly options: JudgeOptions
}

/** What the worker tells, in this order; `tried` any number of times. */
export type FixNews =
  /** Combinations of changes tried so far. */
  | { readonly kind: 'tried'; readonly tried: number }
  | { readonly kind: 'found'; readonly outcome: FixOutcome }
  /** For each fix the names of the other titles that would read worse. */
  | { readonly kind: 'worse'; readonly worse: readonly (readonly string[])[] }

/** Whether two questions have the same answer. */
export const sameQuestion = (p: FixQuestion, q: FixQuestion): boolean =>
  p.profile === q.profile &&
  // An adapter that is connected states its figures anew, and they may be the same.
  sameJson(p.options, q.options) &&
  sameItems(p.titles, q.titles) &&
  sameItems(p.others, q.others)

const sameItems = (p: readonly Title[], q: readonly Title[]): boolean =>
  p.length === q.length && p.every((title, k) => title === q[k])
