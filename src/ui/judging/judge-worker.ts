import type { Title } from '../../title/schema.ts'
import type { JudgeAnswer, JudgeRequest } from './judge-messages.ts'
import { Judge } from './judge-all.ts'
import type { JudgeInput, Judgements } from './judge-all.ts'

/** What the bridge needs of a worker. */
export interface WorkerLike {
  postMessage(request: JudgeRequest): void
  onmessage: ((event: MessageEvent<JudgeAnswer>) => void) | null
  onerror: ((event: ErrorEvent) => void) | null
  terminate(): void
}

/**
 * The bridge to the judging worker. One question at a time; while it is being answered only the latest next one is kept.
 * Titles are sent once and again when they change.
 */
export class JudgeWorker {
  readonly #start: () => WorkerLike
  readonly #answered: (judgements: Judgements, input: JudgeInput) => void
  #worker: WorkerLike | null = null
  #asked: JudgeInput | null = null
  #wanted: JudgeInput | null = null
  #sent = new Map<string, Title>()
  /** Judges in place of a worker that failed. */
  #broken: Judge | null = null

  constructor(start: () => WorkerLike, answered: (judgements: Judgements, input: JudgeInput) => void) {
    this.#start = start
    this.#answered = answered
  }

  ask(input: JudgeInput): void {
    if (this.#broken) {
      this.#answered(this.#broken.all(input), input)
      return
    }
    if (this.#asked !== null) {
      this.#wanted = input
      return
    }
    this.#asked = input
    const titles = input.titles.filter(({ id, document }) => this.#sent.get(id) !== document)
    for (const { id, document } of titles) this.#sent.set(id, document)
    this.#running().postMessage({
      profile: input.profile,
      options: input.options,
      ids: input.titles.map(({ id }) => id),
      titles: titles.map(({ id, document }) => ({ id, document })),
    })
  }

  end(): void {
    this.#worker?.terminate()
    this.#worker = null
    this.#asked = null
    this.#wanted = null
    this.#sent.clear()
  }

  #running(): WorkerLike {
    if (this.#worker) return this.#worker
    const worker = this.#start()
    worker.onmessage = ({ data }) => {
      const asked = this.#asked
      const wanted = this.#wanted
      this.#asked = null
      this.#wanted = null
      if (asked) this.#answered(new Map(data), asked)
      if (wanted) this.ask(wanted)
    }
    // A worker that cannot be loaded must not leave titles without a verdict.
    worker.onerror = () => {
      const asked = this.#wanted ?? this.#asked
      this.end()
      this.#broken = new Judge()
      if (asked) this.ask(asked)
    }
    this.#worker = worker
    return worker
  }
}

export const startJudgeWorker = (): WorkerLike =>
  new Worker(new URL('./judge.worker.ts', import.meta.url), { type: 'module' })
