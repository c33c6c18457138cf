import { answerSymptoms } from './answer-symptoms.ts'
import type { SymptomQuestion } from './symptom-question.ts'

self.onmessage = ({ data }: MessageEvent<SymptomQuestion>) => self.postMessage(answerSymptoms(data))
