import { parentPort } from 'node:worker_threads'
import { ANSWERERS } from '../../../src/ui/worker/answerers.ts'
import { serve } from '../../../src/ui/worker/serve.ts'

/** The app's worker as a thread of Node. */

parentPort?.on(
  'message',
  serve(ANSWERERS, (message) => parentPort?.postMessage(message)),
)
