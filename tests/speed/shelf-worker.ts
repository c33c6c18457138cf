import { parentPort } from 'node:worker_threads'
import { answering } from '../../src/ui/judging/judge-messages.ts'
import type { JudgeRequest } from '../../src/ui/judging/judge-messages.ts'

const answer = answering()

parentPort?.on('message', (request: JudgeRequest) => parentPort?.postMessage(answer(request)))
