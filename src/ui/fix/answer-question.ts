import { findingFixes } from '../../bench/fix.ts'
import { judge } from '../../bench/judge.ts'
import { VERDICTS } from '../../bench/judgement.ts'
import type { Judgement } from '../../bench/judgement.ts'
import type { FixNews, FixQuestion } from './fix-messages.ts'

/** How often the page hears how far the search is. */
const TELL_EVERY_MS = 100

/**
 * Answers a question: how far it is, now and then; then the fixes; then what they would do to the other titles.
 *
 * @param nowMs a clock that never goes back
 */
export function answerQuestion(
  question: FixQuestion,
  tell: (news: FixNews) => void,
  nowMs: () => number,
): void {
  const { profile, titles, others, options } = question
  const search = findingFixes(profile, titles, options)
  let toldAtMs = nowMs()
  let step = search.next()
  while (!step.done) {
    if (nowMs() - toldAtMs >= TELL_EVERY_MS) {
      tell({ kind: 'tried', tried: step.value })
      toldAtMs = nowMs()
    }
    step = search.next()
  }
  const outcome = step.value
  tell({ kind: 'found', outcome })

  const rank = ({ verdict }: Judgement): number => VERDICTS.indexOf(verdict)
  const before = others.map((title) => judge(profile, title, options))
  const worse = outcome.fixes.map((fix) =>
    others
      .filter((title, k) => rank(judge(fix.profile, title, options)) > rank(before[k] as Judgement))
      .map(({ name }) => name),
  )
  tell({ kind: 'worse', worse })
}
