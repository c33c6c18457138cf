import type { WorkerLike } from './judge-pool.ts'

/** A judging worker of the browser. */
export function startBrowserWorker(): WorkerLike {
  const worker = new Worker(new URL('./judge.worker.ts', import.meta.url), { type: 'module' })
  const like: WorkerLike = {
    onmessage: null,
    onerror: null,
    postMessage: (request) => worker.postMessage(request),
    terminate: () => worker.terminate(),
  }
  worker.onmessage = (event) => like.onmessage?.(event)
  worker.onerror = () => like.onerror?.()
  return like
}
