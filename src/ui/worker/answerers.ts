import type { Answerers } from './answerer.ts'
import type { Questions } from './questions.ts'

/** Where each answer comes from; fetched by the worker that is asked first, so that no worker holds what it does not need. */
export const ANSWERERS: Answerers<Questions> = {
  judge: async () => (await import('../judging/judge-messages.ts')).answerJudge,
  fix: async () => (await import('../../bench/fix/answer.ts')).answerFix,
  plan: async () => (await import('../../bench/plan.ts')).answerPlan,
  symptom: async () => (await import('../../bench/symptoms.ts')).answerSymptoms,
  probe: async () => (await import('../../bench/probe/answer.ts')).answerProbe,
  turns: async () => (await import('../../bench/turns.ts')).findTurns,
  along: async () => (await import('../../bench/along.ts')).findAlong,
  cycles: async () => (await import('../../bench/along-cycles.ts')).findAlongCycles,
  capture: async () => (await import('../capture/read-file.ts')).readFile,
}
