import { err, ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import { language } from '../../words/texts.ts'
import type { Exchange, Exchanges, FromWorker, ToWorker, WorkFault } from './messages.ts'

/** What the bridge needs of a worker. */
export interface WorkerLike<T extends Exchanges<T>> {
  postMessage(message: ToWorker<T>, transfer: Transferable[]): void
  onmessage: ((event: { readonly data: FromWorker<T> }) => void) | null
  /** Its script could not be loaded, or it broke down. */
  onerror: (() => void) | null
  terminate(): void
}

/** What becomes of a question: progress any number of times, then `settled` once. Neither after it was cancelled. */
export interface Hearing<E extends Exchange> {
  readonly progress?: (progress: E['progress']) => void
  readonly settled: (result: Result<E['answer'], WorkFault>) => void
}

/** Some times what a worker takes from step to step. */
const PATIENCE_MS = 250

/** A worker with what it has been asked. */
interface Lane<T extends Exchanges<T>> {
  readonly worker: WorkerLike<T>
  readonly open: Map<number, Hearing<T[keyof T]>>
  /** Cancelled, and the worker may be at it still; each with what lets the worker go in the end. */
  readonly cancelled: Map<number, ReturnType<typeof setTimeout>>
  isReady: boolean
}

/**
 * The bridge to a worker: questions of several kinds, each with its progress and its answer, any number of them at once. The worker
 * is started with the first question and stays for the next one. A cancelled question is told to the worker, which leaves it
 * between two steps; one that does not listen is let go, and a new question does not wait for it.
 */
export class Bridge<T extends Exchanges<T>> {
  readonly #start: () => WorkerLike<T>
  readonly #patienceMs: number
  /** Those with open questions, and the one for the next question. */
  readonly #lanes = new Set<Lane<T>>()
  #current: Lane<T> | null = null
  #lastId = 0

  /**
   * @param start throws where no worker can be started
   * @param patienceMs how long a worker may take to hear that a question is cancelled before it is let go
   */
  constructor(start: () => WorkerLike<T>, patienceMs = PATIENCE_MS) {
    this.#start = start
    this.#patienceMs = patienceMs
  }

  /**
   * Asks. The question is cloned but for what is transferred.
   *
   * @returns what cancels it; does nothing once it is answered
   */
  ask<K extends keyof T>(
    name: K,
    question: T[K]['question'],
    hearing: Hearing<T[K]>,
    transfer: Transferable[] = [],
  ): () => void {
    const lane = this.#lane()
    if (lane === null) return this.#refuse(hearing)
    const id = ++this.#lastId
    lane.worker.postMessage({ kind: 'ask', id, name, question } as ToWorker<T>, transfer)
    lane.open.set(id, hearing as Hearing<T[keyof T]>)
    return () => this.#cancel(lane, id)
  }

  /** Lets all workers go. Nothing that was asked is told of any more. */
  end(): void {
    for (const lane of this.#lanes) this.#letGo(lane)
  }

  /** The worker for the next question: another one where the last is at something that nobody wants any more. */
  #lane(): Lane<T> | null {
    if (this.#current && this.#current.cancelled.size > 0) this.#leave(this.#current)
    if (this.#current) return this.#current
    try {
      this.#current = this.#started(this.#start())
    } catch {
      return null
    }
    this.#lanes.add(this.#current)
    return this.#current
  }

  #started(worker: WorkerLike<T>): Lane<T> {
    const lane: Lane<T> = { worker, open: new Map(), cancelled: new Map(), isReady: false }
    worker.onmessage = ({ data }) => this.#hear(lane, data)
    worker.onerror = () => this.#fail(lane)
    const spoken = language()
    if (spoken) worker.postMessage({ kind: 'speak', language: spoken }, [])
    return lane
  }

  #hear(lane: Lane<T>, message: FromWorker<T>): void {
    if (message.kind === 'ready') {
      lane.isReady = true
      return
    }
    const hearing = lane.open.get(message.id)
    if (message.kind === 'progress') return hearing?.progress?.(message.progress)
    lane.open.delete(message.id)
    clearTimeout(lane.cancelled.get(message.id))
    lane.cancelled.delete(message.id)
    if (lane !== this.#current && lane.open.size === 0) this.#letGo(lane)
    if (message.kind === 'answer') hearing?.settled(ok(message.answer))
    else if (message.kind === 'failed') hearing?.settled(err(message.fault))
  }

  #fail(lane: Lane<T>): void {
    const open = [...lane.open.values()]
    this.#letGo(lane)
    const fault = lane.isReady ? 'broken' : 'not-loaded'
    for (const { settled } of open) settled(err(fault))
  }

  #cancel(lane: Lane<T>, id: number): void {
    if (!lane.open.delete(id)) return
    lane.cancelled.set(
      id,
      setTimeout(() => this.#leave(lane), this.#patienceMs),
    )
    lane.worker.postMessage({ kind: 'cancel', id }, [])
    if (lane !== this.#current && lane.open.size === 0) this.#letGo(lane)
  }

  /** Asks nothing of it any more; it goes as soon as nobody waits for it. */
  #leave(lane: Lane<T>): void {
    if (this.#current === lane) this.#current = null
    if (lane.open.size === 0) this.#letGo(lane)
  }

  #letGo(lane: Lane<T>): void {
    // What it has sent already may still be on its way.
    lane.worker.onmessage = null
    lane.worker.onerror = null
    lane.worker.terminate()
    for (const timer of lane.cancelled.values()) clearTimeout(timer)
    lane.open.clear()
    lane.cancelled.clear()
    this.#lanes.delete(lane)
    if (this.#current === lane) this.#current = null
  }

  #refuse<E extends Exchange>({ settled }: Hearing<E>): () => void {
    let isWanted = true
    queueMicrotask(() => {
      if (isWanted) settled(err('not-loaded'))
    })
    return () => (isWanted = false)
  }
}
