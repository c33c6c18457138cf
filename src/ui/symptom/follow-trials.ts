import type { TrialAct, TrialStep } from '../../bench/symptoms/trials.ts'

/** How far somebody has come with the trials. */
export interface TrialsSoFar {
  /** What was tried, and what was seen then. */
  readonly taken: readonly { readonly act: TrialAct; readonly saw: string }[]
  /** What to try next; `null` where nothing tells apart what is left. */
  readonly next: TrialStep | null
  /** Ids of the read patterns that are left; `null` before the first trial, when all are. */
  readonly left: readonly string[] | null
}

/** @param seen what was seen, trial by trial; it ends where a trial has no such outcome */
export function followTrials(first: TrialStep | null, seen: readonly string[]): TrialsSoFar {
  let soFar: TrialsSoFar = { taken: [], next: first, left: null }
  for (const saw of seen) {
    const outcome = soFar.next?.outcomes.find((one) => one.saw === saw)
    if (!soFar.next || !outcome) return soFar
    soFar = {
      taken: [...soFar.taken, { act: soFar.next.act, saw }],
      next: outcome.next,
      left: outcome.patterns.map(({ id }) => id),
    }
  }
  return soFar
}
