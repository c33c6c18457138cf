import { parentPort } from 'node:worker_threads'
import { serve } from '../../../src/ui/worker/serve.ts'
import { TOY_ANSWERERS } from './toy-questions.ts'

parentPort?.on(
  'message',
  serve(TOY_ANSWERERS, (message) => parentPort?.postMessage(message)),
)
