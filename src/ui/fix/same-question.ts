import type { FixQuestion } from '../../bench/fix/answer.ts'
import { sameJson } from '../../shelf/same.ts'
import type { Title } from '../../title/schema.ts'

/** Whether two questions have the same answer. */
export const sameQuestion = (p: FixQuestion, q: FixQuestion): boolean =>
  p.profile === q.profile &&
  // An adapter that is connected states its figures anew, and they may be the same.
  sameJson(p.options, q.options) &&
  sameItems(p.titles, q.titles) &&
  sameItems(p.others, q.others)

const sameItems = (p: readonly Title[], q: readonly Title[]): boolean =>
  p.length === q.length && p.every((title, k) => title === q[k])
