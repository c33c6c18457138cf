import type { Answer, Question } from '../../bench/probe/suspects.ts'

/** Which of the probes a question is asked with, from 1 in the order in which they were put in. */
export function probeNumber(answers: readonly Answer[], { probe }: Question): number {
  const ids = probeIds(answers)
  const at = ids.indexOf(probe.id)
  return 1 + (at < 0 ? ids.length : at)
}

/** The probes that answers were given to, in the order in which they were put in. */
export const probeIds = (answers: readonly Answer[]): string[] => [
  ...new Set(answers.map(({ question }) => question.probe.id)),
]
