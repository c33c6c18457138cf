import type { FixOutcome } from '../../bench/fix.ts'
import { sameQuestion } from './fix-messages.ts'
import type { FixNews, FixQuestion } from './fix-messages.ts'

/** What the bridge needs of a worker. */
export interface FixWorker {
  postMessage(question: FixQuestion): void
  onmessage: ((event: MessageEvent<FixNews>) => void) | null
  onerror: ((event: ErrorEvent) => void) | null
  terminate(): void
}

export type FixState =
  | { readonly kind: 'searching'; readonly tried: number }
  | {
      readonly kind: 'found'
      readonly outcome: FixOutcome
      /** For each fix the names of the other titles that would read worse; `null` while that is not known. */
      readonly worse: readonly (readonly string[])[] | null
    }
  /** By the user, after so many combinations. */
  | { readonly kind: 'stopped'; readonly tried: number }
  /** The worker could not be loaded, or broke down. */
  | { readonly kind: 'failed' }

/**
 * The bridge to the worker that looks for fixes. It has one question at a time, and a newer one replaces it: a worker in the middle
 * of a search hears nothing, so it is let go and another one begins.
 */
export class FixBridge {
  readonly #start: () => FixWorker
  readonly #changed: (state: FixState, question: FixQuestion) => void
  #worker: FixWorker | null = null
  #isBusy = false
  #asked: { readonly question: FixQuestion; readonly state: FixState } | null = null

  /** @param changed hears of every state, and of the question that it belongs to */
  constructor(start: () => FixWorker, changed: (state: FixState, question: FixQuestion) => void) {
    this.#start = start
    this.#changed = changed
  }

  /** Asks, unless it is what was asked last. */
  ask(question: FixQuestion): void {
    if (this.#asked && sameQuestion(this.#asked.question, question)) return
    this.#begin(question)
  }

  /** The same question once more, after it was stopped or failed. */
  again(): void {
    if (this.#asked) this.#begin(this.#asked.question)
  }

  /** Ends the search and keeps what is known of it. */
  stop(): void {
    if (this.#asked?.state.kind !== 'searching') return
    this.#letGo()
    this.#to({ kind: 'stopped', tried: this.#asked.state.tried })
  }

  end(): void {
    this.#letGo()
    this.#asked = null
  }

  #begin(question: FixQuestion): void {
    if (this.#isBusy) this.#letGo()
    this.#asked = { question, state: { kind: 'searching', tried: 0 } }
    this.#to(this.#asked.state)
    this.#isBusy = true
    this.#running().postMessage(question)
  }

  #running(): FixWorker {
    if (this.#worker) return this.#worker
    const worker = this.#start()
    worker.onmessage = ({ data }) => this.#hear(data)
    worker.onerror = () => {
      this.#letGo()
      this.#to({ kind: 'failed' })
    }
    this.#worker = worker
    return worker
  }

  #hear(news: FixNews): void {
    const state = this.#asked?.state
    if (news.kind === 'tried') this.#to({ kind: 'searching', tried: news.tried })
    else if (news.kind === 'found') this.#to({ kind: 'found', outcome: news.outcome, worse: null })
    else {
      this.#isBusy = false
      if (state?.kind === 'found') this.#to({ ...state, worse: news.worse })
    }
  }

  #letGo(): void {
    if (this.#worker) {
      // What it has sent already may still be on its way.
      this.#worker.onmessage = null
      this.#worker.onerror = null
      this.#worker.terminate()
    }
    this.#worker = null
    this.#isBusy = false
  }

  #to(state: FixState): void {
    if (!this.#asked) return
    const { question } = this.#asked
    this.#asked = { question, state }
    this.#changed(state, question)
  }
}

export const startFixWorker = (): FixWorker =>
  new Worker(new URL('./fix.worker.ts', import.meta.url), { type: 'module' })
