import { ANSWERERS } from './answerers.ts'
import type { ToWorker } from './messages.ts'
import type { Questions } from './questions.ts'
import { serve } from './serve.ts'

/** The worker behind every question of the app. */

const hear = serve(ANSWERERS, (message) => self.postMessage(message))

self.onmessage = ({ data }: MessageEvent<ToWorker<Questions>>) => hear(data)
