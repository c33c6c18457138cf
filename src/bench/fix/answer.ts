import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import { findingFixes } from '../fix.ts'
import type { FixOutcome, FixSoFar } from '../fix.ts'
import { judge } from '../judge.ts'
import type { JudgeOptions } from '../judgement.ts'
import { badness } from '../worst-of.ts'

/** What is looked for: changes to the profile that make all these titles read it right. */
export interface FixQuestion {
  readonly profile: Profile
  readonly titles: readonly Title[]
  /** Titles that a fix must not spoil without a word: the rest of a shelf. */
  readonly others: readonly Title[]
  readonly options: JudgeOptions
}

export type FixProgress =
  | ({ readonly kind: 'tried' } & FixSoFar)
  /** The search has ended; the other titles are still to be judged. */
  | { readonly kind: 'found'; readonly outcome: FixOutcome }

export interface FixAnswer {
  readonly outcome: FixOutcome
  /** For each fix the names of the other titles that would read worse. */
  readonly worse: readonly (readonly string[])[]
}

/** Looks for fixes, then for what each would do to the other titles. */
export function* answerFix({
  profile,
  titles,
  others,
  options,
}: FixQuestion): StepsOfWork<FixProgress, FixAnswer> {
  const search = findingFixes(profile, titles, options)
  let step = search.next()
  for (; !step.done; step = search.next()) {
    const { tried, best } = step.value
    yield { kind: 'tried', tried, best }
  }
  const outcome = step.value
  yield { kind: 'found', outcome }

  const worse: string[][] = outcome.fixes.map(() => [])
  if (outcome.fixes.length === 0) return { outcome, worse }
  for (const title of others) {
    const before = badness(judge(profile, title, options))
    for (const [k, fix] of outcome.fixes.entries()) {
      if (badness(judge(fix.profile, title, options)) > before) worse[k]?.push(title.name)
      yield { kind: 'found', outcome }
    }
  }
  return { outcome, worse }
}
