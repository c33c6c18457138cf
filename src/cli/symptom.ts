import { InvalidArgumentError } from 'commander'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../bench/stated.ts'
import { answerSymptoms, kindsOf, tryFirst } from '../bench/symptoms.ts'
import type { CauseKind, Explanation, SymptomCause } from '../bench/symptoms.ts'
import { actWords as actWordsWith } from '../bench/symptoms/act-words.ts'
import { SYMPTOMS, SYMPTOM_NAMES, isSymptom, seenWords } from '../bench/symptoms/symptoms.ts'
import type { Symptom } from '../bench/symptoms/symptoms.ts'
import { toTurnTo } from '../bench/symptoms/to-turn-to.ts'
import type { TrialAct, TrialStep } from '../bench/symptoms/trials.ts'
import { workToEnd } from '../port/steps-of-work.ts'
import type { Cable } from '../port/cable.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import type { Profile } from '../profile/schema.ts'
import { controlWord } from './control-words.ts'
import { rowWords } from '../words/lists.ts'
import { clauseWords } from '../words/sentence-texts.ts'
import { EXIT } from './fail.ts'
import { t as faultTexts } from './fault-texts.ts'
import { loadProfile } from './files.ts'
import { jsonText, say } from './output.ts'
import { symptomTexts as t } from './output-texts.ts'

export interface SymptomOptions {
  readonly saw: readonly Symptom[]
  /** More profiles to turn to, by path or name. */
  readonly have: readonly string[]
  readonly cable: Cable
  readonly json?: true
}

/** The words for what can be seen, a line each. */
export const symptomLines = (): string =>
  SYMPTOM_NAMES.map((name) => `  ${name.padEnd(12)}${SYMPTOMS[name]}`).join('\n')

/** `walks,pauses`: what was seen, each once. */
export function symptomList(text: string): Symptom[] {
  const words = text.split(',').map((word) => word.trim().toLowerCase())
  const known = words.filter(isSymptom)
  const unknown = words.filter((word) => !isSymptom(word))
  if (unknown.length > 0) {
    const found = rowWords(unknown.map((word) => `"${word}"`))
    throw new InvalidArgumentError(faultTexts.unknownSymptoms({ found, known: rowWords(SYMPTOM_NAMES) }))
  }
  return [...new Set(known)]
}

/** From what somebody saw in front of a title to what may be behind it, how to tell, and what to try. */
export function symptom(profilePath: string, { saw, have, cable, json }: SymptomOptions): number {
  const present = loadProfile(profilePath)
  const own = have.map((name) => ({ name, profile: loadProfile(name) }))
  const builtIn = Object.entries(BUILT_IN_PROFILES).map(([name, profile]) => ({ name, profile }))
  const options = {
    adapter: { ...REFERENCE_ADAPTER, cable },
    marginNs: DEFAULT_MARGIN_NS,
    profiles: toTurnTo(own, builtIn),
  }
  const explanation = workToEnd(answerSymptoms({ present, saw, options }))
  say(
    json
      ? jsonText(explanationJson(profilePath, saw, explanation))
      : explanationText(present, saw, explanation),
  )
  return EXIT.fine
}

const explanationJson = (
  profile: string,
  saw: readonly Symptom[],
  { causes, unexplained, trial, helping }: Explanation,
) => ({
  profile,
  saw,
  causes: causes.map(({ pattern, words, reason, also, title }) => ({ pattern, words, reason, also, title })),
  unexplained,
  trial: trial && trialJson(trial),
  tryFirst: tryFirst(helping, patternsOf(causes)),
})

const patternsOf = (causes: readonly SymptomCause[]): string[] => causes.map(({ pattern }) => pattern)

const trialJson = ({ act, outcomes }: TrialStep): object => ({
  act,
  outcomes: outcomes.map(({ saw, patterns, next }) => ({
    saw,
    patterns: patterns.map(({ id }) => id),
    next: next && trialJson(next),
  })),
})

/** As many causes as anybody reads. */
const MOST_CAUSES = 6

function explanationText(present: Profile, saw: readonly Symptom[], explanation: Explanation): string {
  const { causes, unexplained, trial, helping } = explanation
  if (causes.length === 0) {
    return [t.none({ profile: present.name, seen: seenWords(saw) }), t.noneThen].join('\n')
  }
  const lines = [t.causes({ profile: present.name })]
  const kinds = kindsOf(causes)
  for (const kind of kinds.slice(0, MOST_CAUSES)) lines.push(...causeLines(kind))
  const more = kinds.length - MOST_CAUSES
  if (more > 0) lines.push(t.lessLikely({ more }))
  if (unexplained.length > 0) lines.push(t.unexplained({ seen: seenWords(unexplained) }))
  if (trial !== null) lines.push(...trialLines(trial, present))
  const first = tryFirst(helping, patternsOf(causes))
  lines.push(
    first === null
      ? t.noRemedy
      : t.tryFirst({ act: actWords(first.remedy, present), helps: first.serves, n: causes.length }),
  )
  return lines.join('\n')
}

function causeLines({ likeliest: cause, more }: CauseKind<SymptomCause>): string[] {
  const words = more === 0 ? t.cause({ cause: cause.words }) : t.causeOfKind({ cause: cause.words, more })
  const lines = [words, `  ${cause.reason}`]
  if (cause.also.length > 0) lines.push(`  ${t.also({ seen: seenWords(cause.also) })}`)
  return lines
}

function trialLines({ act, outcomes }: TrialStep, present: Profile): string[] {
  return [
    t.trial({ act: actWords(act, present) }),
    ...outcomes.map(({ saw, patterns }) =>
      t.outcome({ saw, causes: listSome(kindsOf(patterns).map(({ likeliest }) => likeliest.words)) }),
    ),
  ]
}

const MOST_LISTED = 3

/** The first few of a list. */
function listSome(words: readonly string[]): string {
  const causes = clauseWords(words.slice(0, MOST_LISTED))
  const more = words.length - MOST_LISTED
  return more > 0 ? t.andMore({ causes, more }) : causes
}

const actWords = (act: TrialAct, present: Profile): string =>
  actWordsWith(act, (control) => controlWord(control, present))
