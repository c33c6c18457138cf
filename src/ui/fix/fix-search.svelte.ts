import type { FixOutcome, FixSoFar } from '../../bench/fix.ts'
import type { FixQuestion } from '../../bench/fix/answer.ts'
import { Errand } from '../worker/errand.svelte.ts'
import type { WorkFault } from '../worker/messages.ts'
import { newBridge } from '../worker/start-worker.ts'
import { sameQuestion } from './same-question.ts'

export type FixState =
  | ({ readonly kind: 'searching' } & FixSoFar)
  | {
      readonly kind: 'found'
      readonly outcome: FixOutcome
      /** For each fix the names of the other titles that would read worse; `null` while that is not known. */
      readonly worse: readonly (readonly string[])[] | null
    }
  /** By the user, after so many combinations. */
  | ({ readonly kind: 'stopped' } & FixSoFar)
  | { readonly kind: 'failed'; readonly fault: WorkFault }

const NOTHING_YET: FixSoFar = { tried: 0, best: null }

/** The fixes for one question, looked for again whenever what it rests on changes. */
export class FixSearch {
  /** What is to be answered now. */
  readonly question: FixQuestion = $derived.by(() => this.#question())
  readonly #question: () => FixQuestion
  readonly #errand: Errand<'fix'>
  /** What was asked last. */
  #asked = $state.raw<FixQuestion | null>(null)

  /** Never that of an earlier question. */
  readonly state: FixState = $derived.by(() =>
    this.#asked && sameQuestion(this.#asked, this.question)
      ? this.#stateOfErrand()
      : { kind: 'searching', ...NOTHING_YET },
  )

  /** Whether the search takes longer than a moment. */
  readonly isSlow: boolean = $derived.by(() => this.state.kind === 'searching' && this.#errand.isSlow)

  constructor(question: () => FixQuestion, bridge = newBridge()) {
    this.#question = question
    this.#errand = new Errand('fix', bridge)
  }

  /** Asks, unless it is what was asked last. */
  ask(): void {
    if (this.#asked === null || !sameQuestion(this.#asked, this.question)) this.#ask(this.question)
  }

  /** Ends the search and keeps what is known of it. */
  stop(): void {
    this.#errand.cancel()
  }

  /** The same question once more, after it was stopped or failed. */
  again(): void {
    this.#ask(this.question)
  }

  end(): void {
    this.#errand.end()
  }

  #ask(question: FixQuestion): void {
    this.#asked = question
    this.#errand.clear()
    this.#errand.ask(question)
  }

  #stateOfErrand(): FixState {
    const { last, progress, state, fault } = this.#errand
    if (last) return { kind: 'found', ...last.answer }
    if (fault) return { kind: 'failed', fault }
    if (progress?.kind === 'found') return { kind: 'found', outcome: progress.outcome, worse: null }
    const { tried, best } = progress ?? NOTHING_YET
    return { kind: state === 'running' ? 'searching' : 'stopped', tried, best }
  }
}
