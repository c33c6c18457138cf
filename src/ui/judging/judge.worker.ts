import { answering } from './judge-messages.ts'
import type { JudgeRequest } from './judge-messages.ts'

const answer = answering()

self.onmessage = ({ data }: MessageEvent<JudgeRequest>) => self.postMessage(answer(data))
