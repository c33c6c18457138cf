import type { TransferListItem, Worker } from 'node:worker_threads'
import type { WorkerLike } from '../../../src/ui/worker/bridge.ts'
import type { Exchanges, FromWorker } from '../../../src/ui/worker/messages.ts'

/** A thread of Node where the bridge has a worker of the browser. */
export function likeWorker<T extends Exchanges<T>>(thread: Worker): WorkerLike<T> {
  const like: WorkerLike<T> = {
    onmessage: null,
    onerror: null,
    postMessage: (message, transfer) => thread.postMessage(message, transfer as TransferListItem[]),
    terminate: () => void thread.terminate(),
  }
  thread.on('message', (data: FromWorker<T>) => like.onmessage?.({ data }))
  thread.on('error', () => like.onerror?.())
  thread.on('exit', () => like.onerror?.())
  return like
}
