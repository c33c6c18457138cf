import { NO_JUDGEMENTS } from './judgements.ts'
import type { JudgeInput, Judgements } from './judgements.ts'
import type { LateBench } from './late-bench.svelte.ts'

/** Up to so many titles are judged on the spot, well within a frame; more go to workers. */
export const ON_THE_SPOT = 12

/** The verdicts of all titles on the open profile, judged again whenever anything they rest on changes. */
export class Verdicts {
  readonly #input: () => JudgeInput
  readonly #late: LateBench
  #fromPool = $state.raw<{ judgements: Judgements; input: JudgeInput | null }>({
    judgements: NO_JUDGEMENTS,
    input: null,
  })

  readonly #isSmall: boolean = $derived.by(() => this.#input().titles.length <= ON_THE_SPOT)

  readonly #judge = $derived.by(() => (this.#late.core ? new this.#late.core.Judge() : null))

  /** With many titles the judgements come a moment after the edit; until then the last ones stand. */
  readonly all: Judgements = $derived.by(() =>
    this.#isSmall ? (this.#judge?.all(this.#input()) ?? NO_JUDGEMENTS) : this.#fromPool.judgements,
  )

  /** Whether the judgements are those of an earlier edit. */
  readonly pending: boolean = $derived.by(() => !this.#isSmall && this.#fromPool.input !== this.#input())

  constructor(input: () => JudgeInput, late: LateBench) {
    this.#input = input
    this.#late = late
    $effect(() => {
      const { core } = late
      if (core === null) return
      const pool = new core.JudgePool(
        core.workersFor(navigator.hardwareConcurrency),
        core.newBridge,
        (judgements, answered) => {
          this.#fromPool = { judgements, input: answered }
        },
      )
      $effect(() => {
        if (!this.#isSmall) pool.ask(this.#input())
      })
      return () => pool.end()
    })
  }
}
