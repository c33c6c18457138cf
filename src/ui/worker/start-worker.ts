import { scriptAddress } from '../script-address.ts'
import { Bridge } from './bridge.ts'
import type { WorkerLike } from './bridge.ts'
import type { FromWorker } from './messages.ts'
import type { Questions } from './questions.ts'
import questionsWorker from './questions.worker.ts?worker&url'

/** Starts a worker of the app. Every worker is started here. @param address of its script, as the build gives it */
export const startWorker = (address: string): Worker => new Worker(scriptAddress(address), { type: 'module' })

function startQuestionsWorker(): WorkerLike<Questions> {
  const worker = startWorker(questionsWorker)
  const like: WorkerLike<Questions> = {
    onmessage: null,
    onerror: null,
    postMessage: (message, transfer) => worker.postMessage(message, transfer),
    terminate: () => worker.terminate(),
  }
  worker.onmessage = ({ data }: MessageEvent<FromWorker<Questions>>) => like.onmessage?.({ data })
  worker.onerror = () => like.onerror?.()
  worker.onmessageerror = () => like.onerror?.()
  return like
}

/** A bridge to a worker of its own. */
export const newBridge = (): Bridge<Questions> => new Bridge(startQuestionsWorker)
