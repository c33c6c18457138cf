import type { FixQuestion } from '../../bench/fix/answer.ts'
import { sameItems } from '../../document/same-items.ts'
import { sameJson } from '../../document/same-json.ts'

/** Whether two questions have the same answer. */
export const sameQuestion = (p: FixQuestion, q: FixQuestion): boolean =>
  p.profile === q.profile &&
  // An adapter that is connected states its figures anew, and they may be the same.
  sameJson(p.options, q.options) &&
  sameItems(p.titles, q.titles) &&
  sameItems(p.others, q.others)
