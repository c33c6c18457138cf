import type { CaptureMessage, CaptureRequest } from './capture-messages.ts'

/** Starts a job and gives what ends it. After that nothing more is told. */
export type StartCaptureJob = (request: CaptureRequest, tell: (message: CaptureMessage) => void) => () => void

/** Reads in a worker of its own, so that the page stays free and to cancel is to let the worker go, whatever it is at. */
export const startCaptureJob: StartCaptureJob = (request, tell) => {
  const worker = new Worker(new URL('./capture.worker.ts', import.meta.url), { type: 'module' })
  worker.onmessage = ({ data }: MessageEvent<CaptureMessage>) => tell(data)
  worker.onerror = () =>
    tell({
      kind: 'refused',
      sentence:
        'Reading has stopped: the page could not load what it needs, or has no memory left. Load the page again, or open a shorter capture.',
    })
  worker.postMessage(request)
  return () => worker.terminate()
}
