import { isWhole } from './explored.ts'
import { t } from './reason-texts.ts'
import type { WeighedTitle } from './weigh-title.ts'
import { numberWord } from '../words/number-texts.ts'

/** What is proved of a title of which nothing wrong was found before the budget ended; `null` where it was followed to the end. */
export function notFollowed({ weighed, stays, exploration, ...all }: WeighedTitle): string | null {
  if (all.isWhole || weighed.wrongs.size > 0 || stays !== null) return null
  if (isWhole(exploration)) return t.leftOverNotFollowed
  const n = exploration.wholeFrames
  return n === 0 ? t.notFollowed : t.notFollowedOn({ n, count: numberWord(n) })
}
