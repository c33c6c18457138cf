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
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import type { Profile } from '../profile/schema.ts'
import { controlWord } from './control-words.ts'
import { EXIT } from './fail.ts'
import { loadProfile } from './files.ts'
import { jsonText, say } from './output.ts'

export interface SymptomOptions {
  readonly saw: readonly Symptom[]
  /** More profiles to turn to, by path or name. */
  readonly have: readonly string[]
  readonly json?: true
}

/** The words for what can be seen, a line each. */
export const SYMPTOM_LINES = SYMPTOM_NAMES.map((name) => `  ${name.padEnd(12)}${SYMPTOMS[name]}`).join('\n')

/** `walks,pauses`: what was seen, each once. */
export function symptomList(text: string): Symptom[] {
  const words = text.split(',').map((word) => word.trim().toLowerCase())
  const known = words.filter(isSymptom)
  const unknown = words.filter((word) => !isSymptom(word))
  if (unknown.length > 0) {
    const said = unknown.map((word) => `"${word}"`).join(', ')
    throw new InvalidArgumentError(`Unknown: ${said}. The words are ${SYMPTOM_NAMES.join(', ')}.`)
  }
  return [...new Set(known)]
}

/** From what somebody saw in front of a title to what may be behind it, how to tell, and what to try. */
export function symptom(profilePath: string, { saw, have, json }: SymptomOptions): number {
  const present = loadProfile(profilePath)
  const own = have.map((name) => ({ name, profile: loadProfile(name) }))
  const builtIn = Object.entries(BUILT_IN_PROFILES).map(([name, profile]) => ({ name, profile }))
  const options = {
    adapter: REFERENCE_ADAPTER,
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
    return (
      `No read pattern that the bench knows shows this with ${present.name}: ${seenWords(saw)}.\n` +
      'Look at the cable, at the light and at the active bank first; then watch the pad in the app.'
    )
  }
  const lines = [`With ${present.name}, what you saw fits a title that`]
  const kinds = kindsOf(causes)
  for (const kind of kinds.slice(0, MOST_CAUSES)) lines.push(...causeLines(kind))
  const more = kinds.length - MOST_CAUSES
  if (more > 0) lines.push(`- or does something less likely; --json lists ${more} more.`)
  if (unexplained.length > 0) lines.push(`None of these shows: ${seenWords(unexplained)}.`)
  if (trial !== null) lines.push(...trialLines(trial, present))
  const first = tryFirst(helping, patternsOf(causes))
  lines.push(
    first === null
      ? 'No profile here takes it away. Give more with --have, or judge one of your own with check.'
      : `Try first: ${actWords(first.remedy, present)}. It serves ${first.serves} of these ${causes.length}.`,
  )
  return lines.join('\n')
}

function causeLines({ likeliest: cause, more }: CauseKind<SymptomCause>): string[] {
  const others = more === 0 ? '' : ` (or ${more} more of the kind, with other figures)`
  const lines = [`- ${cause.words}${others}`, `  ${cause.reason}`]
  if (cause.also.length > 0) lines.push(`  You would also see: ${seenWords(cause.also)}.`)
  return lines
}

function trialLines({ act, outcomes }: TrialStep, present: Profile): string[] {
  return [
    `To tell them apart: ${actWords(act, present)}, and look.`,
    ...outcomes.map(
      ({ saw, patterns }) =>
        `- ${saw}: ${listSome(kindsOf(patterns).map(({ likeliest }) => likeliest.words))}`,
    ),
  ]
}

/** The first few of a list. */
const listSome = (words: readonly string[]): string =>
  words.length <= 3
    ? words.join('; ')
    : `${words.slice(0, 3).join('; ')}; and ${words.length - 3} more of them`

const actWords = (act: TrialAct, present: Profile): string =>
  actWordsWith(act, (control) => controlWord(control, present))
