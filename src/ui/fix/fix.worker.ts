import { answerQuestion } from './answer-question.ts'
import type { FixQuestion } from './fix-messages.ts'

self.onmessage = ({ data }: MessageEvent<FixQuestion>) =>
  answerQuestion(
    data,
    (news) => self.postMessage(news),
    () => performance.now(),
  )
