import { FixBridge, startFixWorker } from './fix-bridge.ts'
import type { FixState } from './fix-bridge.ts'
import { sameQuestion } from './fix-messages.ts'
import type { FixQuestion } from './fix-messages.ts'

/** A search that ends within this is not worth a word. */
const A_MOMENT_MS = 300

const BEGINNING: FixState = { kind: 'searching', tried: 0 }

/** The fixes for one question, looked for again whenever what it rests on changes. To be made while a component is set up. */
export class FixSearch {
  readonly #question: () => FixQuestion
  readonly #bridge: FixBridge
  #told: { readonly state: FixState; readonly question: FixQuestion } | null = $state.raw(null)
  #isSlow = $state(false)

  /** Never that of an earlier question. */
  readonly state: FixState = $derived.by(() =>
    this.#told && sameQuestion(this.#told.question, this.#question()) ? this.#told.state : BEGINNING,
  )

  readonly #isSearching: boolean = $derived.by(() => this.state.kind === 'searching')

  /** Whether the search takes longer than a moment. */
  readonly isSlow: boolean = $derived.by(() => this.#isSearching && this.#isSlow)

  constructor(question: () => FixQuestion) {
    this.#question = question
    this.#bridge = new FixBridge(startFixWorker, (state, of) => {
      this.#told = { state, question: of }
    })
    $effect(() => this.#bridge.ask(this.#question()))
    $effect(() => {
      this.#isSlow = false
      if (!this.#isSearching) return
      const timer = setTimeout(() => (this.#isSlow = true), A_MOMENT_MS)
      return () => clearTimeout(timer)
    })
    $effect(() => () => this.#bridge.end())
  }

  stop(): void {
    this.#bridge.stop()
  }

  again(): void {
    this.#bridge.again()
  }
}
