import type { Answerers } from '../../../src/ui/worker/answerer.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import type { WorkerLike } from '../../../src/ui/worker/bridge.ts'
import type { Exchanges, FromWorker, ToWorker } from '../../../src/ui/worker/messages.ts'
import { serve } from '../../../src/ui/worker/serve.ts'

/** Turns of the event loop that a question and its answer take at most where nothing in it takes time. */
const TURNS = 4

/** The working side of the bridge as it is, in this thread; what is said on the way arrives when the test says so. */
export class ScriptedWorker<T extends Exchanges<T>> implements WorkerLike<T> {
  onmessage: WorkerLike<T>['onmessage'] = null
  onerror: WorkerLike<T>['onerror'] = null
  /** All that it was sent. */
  readonly sent: ToWorker<T>[] = []
  ended = false
  readonly #toWorker: ToWorker<T>[] = []
  readonly #toPage: FromWorker<T>[] = []
  readonly #answerers: Answerers<T>
  #hear: ((message: ToWorker<T>) => void) | null = null

  constructor(answerers: Answerers<T>) {
    this.#answerers = answerers
  }

  postMessage(message: ToWorker<T>): void {
    const clone = structuredClone(message)
    this.sent.push(clone)
    this.#toWorker.push(clone)
  }

  /** As the HTML standard has it (workers, "terminate a worker"): nothing that an ended one posts arrives. */
  terminate(): void {
    this.ended = true
    this.#toWorker.length = 0
    this.#toPage.length = 0
  }

  /** The names of what it was asked. */
  get asked(): (keyof T)[] {
    return this.sent.flatMap((message) => (message.kind === 'ask' ? [message.name] : []))
  }

  get isSilent(): boolean {
    return this.#toWorker.length + this.#toPage.length === 0
  }

  /** One message arrives at the worker, and what can be worked out at once is. */
  async hears(): Promise<void> {
    if (this.ended) return
    this.#hear ??= serve(this.#answerers, (message) => {
      if (!this.ended) this.#toPage.push(structuredClone(message))
    })
    const message = this.#toWorker.shift()
    if (message) this.#hear(message)
    for (let turn = 0; turn < TURNS; turn++) await new Promise((resolve) => setImmediate(resolve))
  }

  /** One message arrives at the page. */
  tells(): void {
    const message = this.#toPage.shift()
    if (message) this.onmessage?.({ data: message })
  }

  /** All that is on the way arrives. */
  async answers(): Promise<void> {
    await this.hears()
    while (this.#toWorker.length > 0) await this.hears()
    while (this.#toPage.length > 0) this.tells()
  }

  dies(): void {
    if (!this.ended) this.onerror?.()
  }
}

/** A bridge whose workers the test plays. */
export function scripted<T extends Exchanges<T>>(answerers: Answerers<T>) {
  const workers: ScriptedWorker<T>[] = []
  const start = () => {
    const worker = new ScriptedWorker(answerers)
    workers.push(worker)
    return worker
  }
  const worker = (k: number): ScriptedWorker<T> => {
    const one = workers[k]
    if (!one) throw new Error(`worker ${k} was never started`)
    return one
  }
  /** Until nothing is on the way. What takes a while to work out may come later. */
  const allAnswer = async () => {
    while (workers.some((one) => !one.isSilent)) for (const one of workers) await one.answers()
  }
  /** Everything arrives as it is worked out, until this is so. */
  const until = async (isSo: () => boolean) => {
    while (!isSo()) {
      await allAnswer()
      await new Promise((resolve) => setTimeout(resolve))
    }
  }
  return { workers, worker, start, bridge: new Bridge<T>(start), allAnswer, until }
}
