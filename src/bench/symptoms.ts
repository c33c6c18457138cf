import type { StepsOfWork } from '../port/steps-of-work.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { judge } from './judge.ts'
import { isRight } from './judgement.ts'
import type { JudgeOptions } from './judgement.ts'
import { matchPatterns } from './symptoms/match.ts'
import { READ_PATTERNS } from './symptoms/patterns.ts'
import type { Symptom } from './symptoms/symptoms.ts'
import { nextTrial, remedies, trials } from './symptoms/trials.ts'
import type { NamedProfile, Remedy, RemedyProfile, TrialStep } from './symptoms/trials.ts'
import { t } from './reason-texts.ts'

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

/** A remedy and the causes that it serves and takes all from that was seen, by their patterns. */
export interface Helping {
  readonly remedy: Remedy
  readonly patterns: readonly string[]
}

export interface TryFirst {
  readonly remedy: Remedy
  /** Of the causes that are left, how many it serves and takes all of the symptoms from. */
  readonly serves: number
}

export interface Explanation {
  /** Likeliest first; empty where no pattern shows any of it. */
  readonly causes: readonly SymptomCause[]
  /** Seen, and shown by none of the causes. */
  readonly unexplained: readonly Symptom[]
  /** What to try to tell the causes apart; `null` where nothing does. */
  readonly trial: TrialStep | null
  /** What helps against which of the causes, the remedies to prefer first; `tryFirst` chooses among them as causes drop out. */
  readonly helping: readonly Helping[]
}

export interface SymptomQuestion {
  readonly present: Profile
  readonly saw: readonly Symptom[]
  readonly options: ExplainOptions
}

/** How far it is: which part, and how much of it, from 0 to 1. */
export interface SymptomProgress {
  readonly kind: 'matching' | 'trying'
  readonly part: number
}

export interface ExplainOptions extends JudgeOptions {
  /** Profiles to turn to, the ones to prefer first. */
  readonly profiles: readonly NamedProfile[]
}

/** What the judgement says; that a title knows three buttons only is no misread, and says all about the other four. */
function reasonOf(present: Profile, saw: readonly Symptom[], title: Title, options: JudgeOptions): string {
  const { reason } = judge(present, title, options)
  const blind = saw.includes('extras-dead') && title.sixButtons.kind === 'never'
  return blind ? t.threeButtons({ reason }) : reason
}

/**
 * From what was seen to what may be behind it, by playing every read pattern of ours in front of the present profile; what
 * would tell the causes apart; and what helps against which.
 */
export function* answerSymptoms({
  present,
  saw,
  options,
}: SymptomQuestion): StepsOfWork<SymptomProgress, Explanation> {
  const matching = matchPatterns(present, saw, options)
  let step = matching.next()
  for (let k = 1; !step.done; k++, step = matching.next())
    yield { kind: 'matching', part: k / READ_PATTERNS.length }
  const matches = step.value
  const patterns = matches.map(({ pattern }) => pattern)
  const others = remedies(present, options.profiles, options)
  const helping: Helping[] = []
  for (const [k, other] of others.entries()) {
    const helped: string[] = []
    for (const { id, title } of patterns) {
      if (helps(other, title, saw, options)) helped.push(id)
      yield { kind: 'trying', part: k / others.length }
    }
    helping.push({ remedy: other.remedy, patterns: helped })
  }
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
    helping,
  }
}

const helps = (
  { profile, shows }: RemedyProfile,
  title: Title,
  saw: readonly Symptom[],
  options: JudgeOptions,
): boolean => saw.every((symptom) => !shows(title).has(symptom)) && isRight(judge(profile, title, options))

/** What helps against the most of what is left; of equals the first, and `null` where nothing helps. @param left patterns of causes */
export function tryFirst(table: readonly Helping[], left: readonly string[]): TryFirst | null {
  let best: TryFirst | null = null
  for (const { remedy, patterns } of table) {
    const serves = patterns.filter((id) => left.includes(id)).length
    if (serves > (best?.serves ?? 0)) best = { remedy, serves }
  }
  return best
}

/** Causes of a kind, the likeliest of them first. */
export interface CauseKind<Cause> {
  readonly likeliest: Cause
  /** How many more do the same with other figures. */
  readonly more: number
}

/** Each family once, in the order of the likeliest of it. */
export function kindsOf<Cause extends { readonly family: string }>(
  causes: readonly Cause[],
): CauseKind<Cause>[] {
  const families = [...new Set(causes.map(({ family }) => family))]
  return families.flatMap((family) => {
    const [likeliest, ...others] = causes.filter((cause) => cause.family === family)
    return likeliest === undefined ? [] : [{ likeliest, more: others.length }]
  })
}
