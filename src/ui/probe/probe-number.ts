import type { Answer, Question } from '../../bench/probe/suspects.ts'

/** Which of the probes a question is asked with, from 1 in the order in which they were put in. */
export function probeNumber(answers: readonly Answer[], { probe }: Question): number {
  const ids = [...new Set(answers.map(({ question }) => question.probe.id))]
  const at = ids.indexOf(probe.id)
  return 1 + (at < 0 ? ids.length : at)
}
