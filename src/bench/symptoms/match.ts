import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import type { JudgeOptions } from '../judgement.ts'
import { READ_PATTERNS } from './patterns.ts'
import type { ReadPattern } from './patterns.ts'
import { symptomsOf } from './symptoms.ts'
import type { Symptom } from './symptoms.ts'

/** A read pattern that shows some of what was seen. */
export interface Match {
  readonly pattern: ReadPattern
  readonly shown: readonly Symptom[]
  /** What else it shows, and nobody told. */
  readonly also: readonly Symptom[]
}

/**
 * The patterns that show as much as any does of what was seen in front of a profile; those that show the least beside it
 * come first. Empty where none shows any of it.
 *
 * @yields after each pattern
 */
export function* matchPatterns(
  present: Profile,
  saw: readonly Symptom[],
  options: JudgeOptions,
): StepsOfWork<undefined, Match[]> {
  const matches: Match[] = []
  for (const pattern of READ_PATTERNS) {
    const symptoms = symptomsOf(present, pattern.title, options)
    matches.push({
      pattern,
      shown: saw.filter((symptom) => symptoms.has(symptom)),
      also: [...symptoms].filter((symptom) => !saw.includes(symptom) && weighs(symptom)),
    })
    yield
  }
  const most = Math.max(...matches.map(({ shown }) => shown.length))
  if (most === 0) return []
  return matches.filter(({ shown }) => shown.length === most).sort((p, q) => p.also.length - q.also.length)
}

/** That a title leaves the extra buttons alone is nothing that anybody has to tell. */
const weighs = (symptom: Symptom): boolean => symptom !== 'extras-dead'
