import type { ExplainOptions, Explanation, TryFirst } from '../../bench/symptoms.ts'
import type { Symptom } from '../../bench/symptoms/symptoms.ts'
import type { Remedy } from '../../bench/symptoms/trials.ts'
import type { Profile } from '../../profile/schema.ts'
import type { ErrandWorker } from '../plan/errand.svelte.ts'

/** What the worker is asked. */
export interface SymptomQuestion {
  readonly present: Profile
  readonly saw: readonly Symptom[]
  readonly options: ExplainOptions
}

export interface SymptomAnswer extends Explanation {
  readonly helping: readonly Helping[]
}

/** A remedy and the read patterns that it serves and takes all from that was seen, by their ids. */
export interface Helping {
  readonly remedy: Remedy
  readonly patterns: readonly string[]
}

/** What helps against the most of what is left; of equals the first, and `null` where nothing helps. */
export function tryFirst(table: readonly Helping[], left: readonly string[]): TryFirst | null {
  let best: TryFirst | null = null
  for (const { remedy, patterns } of table) {
    const serves = patterns.filter((id) => left.includes(id)).length
    if (serves > (best?.serves ?? 0)) best = { remedy, serves }
  }
  return best
}

export const startSymptomWorker = (): ErrandWorker<SymptomQuestion, SymptomAnswer> =>
  new Worker(new URL('./symptom.worker.ts', import.meta.url), { type: 'module' })
