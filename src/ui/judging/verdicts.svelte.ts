import { Judge, NO_JUDGEMENTS } from './judge-all.ts'
import type { JudgeInput, Judgements } from './judge-all.ts'
import { startBrowserWorker } from './browser-worker.ts'
import { JudgePool, workersFor } from './judge-pool.ts'

/** Up to so many titles are judged on the spot, well within a frame; more go to workers. */
export const ON_THE_SPOT = 12

/** The verdicts of all titles on the open profile, judged again whenever anything they rest on changes. */
export class Verdicts {
  readonly #input: () => JudgeInput
  readonly #judge = new Judge()
  #fromPool = $state.raw<{ judgements: Judgements; input: JudgeInput | null }>({
    judgements: NO_JUDGEMENTS,
    input: null,
  })

  readonly #isSmall: boolean = $derived.by(() => this.#input().titles.length <= ON_THE_SPOT)

  /** With many titles the judgements come a moment after the edit; until then the last ones stand. */
  readonly all: Judgements = $derived.by(() =>
    this.#isSmall ? this.#judge.all(this.#input()) : this.#fromPool.judgements,
  )

  /** Whether the judgements are those of an earlier edit. */
  readonly pending: boolean = $derived.by(() => !this.#isSmall && this.#fromPool.input !== this.#input())

  constructor(input: () => JudgeInput) {
    this.#input = input
    const size = workersFor(navigator.hardwareConcurrency)
    const pool = new JudgePool(size, startBrowserWorker, (judgements, answered) => {
      this.#fromPool = { judgements, input: answered }
    })
    $effect(() => {
      if (!this.#isSmall) pool.ask(this.#input())
    })
    $effect(() => () => pool.end())
  }
}
