/** What an errand needs of a worker: a question goes in, its answer comes out. */
export interface ErrandWorker<Q, A> {
  postMessage(question: Q): void
  onmessage: ((event: MessageEvent<A>) => void) | null
  onerror: ((event: ErrorEvent) => void) | null
  terminate(): void
}

/** Below this nobody wants to be told that something is being worked out. */
const MOMENT_MS = 300

/**
 * One question at a time, answered by a worker. The worker stays for the next question; one that is still at work is let go
 * when it is asked anew or called off, as it hears nothing until it is done.
 */
export class Errand<Q, A> {
  readonly #start: () => ErrandWorker<Q, A>
  #worker: ErrandWorker<Q, A> | null = null
  #patience: ReturnType<typeof setTimeout> | undefined

  state = $state.raw<'idle' | 'running' | 'failed'>('idle')
  /** Whether it takes longer than a moment. */
  isSlow = $state.raw(false)
  /** The last answer and what was asked; it stands until the next one comes. */
  last = $state.raw<{ readonly question: Q; readonly answer: A } | null>(null)

  constructor(start: () => ErrandWorker<Q, A>) {
    this.#start = start
  }

  ask(question: Q): void {
    if (this.state === 'running') this.#letGo()
    const worker = (this.#worker ??= this.#start())
    worker.onmessage = ({ data }) => {
      this.#settle('idle')
      this.last = { question, answer: data }
    }
    worker.onerror = () => {
      this.#letGo()
      this.#settle('failed')
    }
    this.#settle('running')
    this.#patience = setTimeout(() => (this.isSlow = true), MOMENT_MS)
    worker.postMessage(question)
  }

  /** Calls off what is being worked out. The last answer stays. */
  cancel(): void {
    if (this.state === 'running') this.#letGo()
    this.#settle('idle')
  }

  /** Forgets the last answer, too. */
  clear(): void {
    this.cancel()
    this.last = null
  }

  /** Lets the worker go for good. */
  end(): void {
    this.cancel()
    this.#letGo()
  }

  #letGo(): void {
    this.#worker?.terminate()
    this.#worker = null
  }

  #settle(state: 'idle' | 'running' | 'failed'): void {
    clearTimeout(this.#patience)
    this.isSlow = false
    this.state = state
  }
}
