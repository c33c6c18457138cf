import type { FixAnswer, FixProgress, FixQuestion } from '../../bench/fix/answer.ts'
import type { PlanProgress, PlanQuestion, ShelfPlan } from '../../bench/plan.ts'
import type { ProbeAnswer, ProbeProgress, ProbeQuestion } from '../../bench/probe/answer.ts'
import type { Explanation, SymptomProgress, SymptomQuestion } from '../../bench/symptoms.ts'
import type { Along, AlongProgress, AlongQuestion } from '../../bench/along.ts'
import type { AlongCycles, CyclesProgress, CyclesQuestion } from '../../bench/along-cycles.ts'
import type { Turns, TurnsProgress, TurnsQuestion } from '../../bench/turns.ts'
import type { CaptureProgress } from '../../title/capture/read-capture.ts'
import type { CaptureRequest, FileAnswer } from '../capture/read-file.ts'
import type { JudgeAnswer, JudgeProgress, JudgeRequest } from '../judging/judge-messages.ts'

/** What the app has answered by workers. */
export interface Questions {
  judge: { question: JudgeRequest; progress: JudgeProgress; answer: JudgeAnswer }
  fix: { question: FixQuestion; progress: FixProgress; answer: FixAnswer }
  plan: { question: PlanQuestion; progress: PlanProgress; answer: ShelfPlan }
  symptom: { question: SymptomQuestion; progress: SymptomProgress; answer: Explanation }
  probe: { question: ProbeQuestion; progress: ProbeProgress; answer: ProbeAnswer }
  turns: { question: TurnsQuestion; progress: TurnsProgress; answer: Turns }
  along: { question: AlongQuestion; progress: AlongProgress; answer: Along | null }
  cycles: { question: CyclesQuestion; progress: CyclesProgress; answer: AlongCycles }
  capture: { question: CaptureRequest; progress: CaptureProgress; answer: FileAnswer }
}
