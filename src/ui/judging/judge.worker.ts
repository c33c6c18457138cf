import { judge } from '../../bench/judge.ts'
import type { Title } from '../../title/schema.ts'
import type { JudgeAnswer, JudgeRequest } from './judge-messages.ts'

const titles = new Map<string, Title>()

self.onmessage = ({ data }: MessageEvent<JudgeRequest>) => {
  for (const { id, document } of data.titles) titles.set(id, document)
  const answer: JudgeAnswer = data.ids.flatMap((id) => {
    const title = titles.get(id)
    return title ? [[id, judge(data.profile, title, data.options)] as const] : []
  })
  self.postMessage(answer)
}
