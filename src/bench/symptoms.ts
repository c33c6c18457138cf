import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { judge } from './judge.ts'
import type { JudgeOptions } from './judge.ts'
import { matchPatterns } from './symptoms/match.ts'
import type { ReadPattern } from './symptoms/patterns.ts'
import type { Symptom } from './symptoms/symptoms.ts'
import { nextTrial, remedies, trials } from './symptoms/trials.ts'
import type { NamedProfile, Remedy, RemedyProfile, TrialStep } from './symptoms/trials.ts'

/** A read pattern that would show what was seen. */
export interface SymptomCause {
  readonly pattern: string
  /** Causes of one family differ in figures only. */
  readonly family: string
  /** What such a title does, to go after "A title that". */
  readonly words: string
  /** A title that reads so. */
  readonly title: Title
  /** What the bench says of it with the present profile. */
  readonly reason: string
  /** What else it would show, and was not seen. */
  readonly also: readonly Symptom[]
}

export interface TryFirst {
  readonly remedy: Remedy
  /** Of the causes that are listed, how many it serves and takes all of the symptoms from. */
  readonly serves: number
}

export interface Explanation {
  /** Likeliest first; empty where no pattern shows any of it. */
  readonly causes: readonly SymptomCause[]
  /** Seen, and shown by none of the causes. */
  readonly unexplained: readonly Symptom[]
  /** What to try to tell the causes apart; `null` where nothing does. */
  readonly trial: TrialStep | null
  readonly tryFirst: TryFirst | null
}

export interface ExplainOptions extends JudgeOptions {
  /** Profiles to turn to, the ones to prefer first. */
  readonly profiles: readonly NamedProfile[]
}

/** What the judgement says; that a title knows three buttons only is no misread, and says all about the other four. */
function reasonOf(present: Profile, saw: readonly Symptom[], title: Title, options: JudgeOptions): string {
  const { reason } = judge(present, title, options)
  const blind = saw.includes('extras-dead') && title.sixButtons.kind === 'never'
  return blind ? `Knows three buttons only; no pad gives it more. ${reason}` : reason
}

/**
 * From what was seen to what may be behind it, by playing every read pattern of ours in front of the present profile; what
 * would tell the causes apart; and what to turn to before anybody knows.
 */
export function explainSymptoms(
  present: Profile,
  saw: readonly Symptom[],
  options: ExplainOptions,
): Explanation {
  const matches = matchPatterns(present, saw, options)
  const patterns = matches.map(({ pattern }) => pattern)
  const others = remedies(present, options.profiles, options)
  const shown = new Set(matches.flatMap((match) => match.shown))
  return {
    causes: matches.map(({ pattern: { id, family, words, title }, also }) => ({
      pattern: id,
      family,
      words,
      title,
      reason: reasonOf(present, saw, title, options),
      also,
    })),
    unexplained: saw.filter((symptom) => !shown.has(symptom)),
    trial: nextTrial(patterns, trials(present, saw, others, options)),
    tryFirst: tryFirst(patterns, saw, others, options),
  }
}

/** What serves the most of the causes and takes all that was seen away; of equals the first. */
function tryFirst(
  patterns: readonly ReadPattern[],
  saw: readonly Symptom[],
  others: readonly RemedyProfile[],
  options: JudgeOptions,
): TryFirst | null {
  const helps = ({ profile, shows }: RemedyProfile, title: Title): boolean =>
    saw.every((symptom) => !shows(title).has(symptom)) && judge(profile, title, options).verdict !== 'misread'
  let best: TryFirst | null = null
  for (const other of others) {
    const serves = patterns.filter(({ title }) => helps(other, title)).length
    if (serves > (best?.serves ?? 0)) best = { remedy: other.remedy, serves }
  }
  return best
}
