import { planShelf } from '../../bench/plan.ts'
import type { PlanQuestion } from './plan-question.ts'

self.onmessage = ({ data: { profiles, titles, options } }: MessageEvent<PlanQuestion>) =>
  self.postMessage(planShelf(profiles, titles, options))
