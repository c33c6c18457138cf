import { Judge, NO_JUDGEMENTS } from './judge-all.ts'
import type { JudgeInput, Judgements } from './judge-all.ts'
import { JudgeWorker, startJudgeWorker } from './judge-worker.ts'

/** Up to so many titles are judged on the spot, well within a frame; more go to a worker. */
export const ON_THE_SPOT = 12

/** The verdicts of all titles on the open profile, judged again whenever anything they rest on changes. */
export class Verdicts {
  readonly #input: () => JudgeInput
  readonly #judge = new Judge()
  #fromWorker = $state.raw<{ judgements: Judgements; input: JudgeInput | null }>({
    judgements: NO_JUDGEMENTS,
    input: null,
  })

  readonly #isSmall: boolean = $derived.by(() => this.#input().titles.length <= ON_THE_SPOT)

  /** With many titles the judgements come a moment after the edit; until then the last ones stand. */
  readonly all: Judgements = $derived.by(() =>
    this.#isSmall ? this.#judge.all(this.#input()) : this.#fromWorker.judgements,
  )

  /** Whether the judgements are those of an earlier edit. */
  readonly pending: boolean = $derived.by(() => !this.#isSmall && this.#fromWorker.input !== this.#input())

  constructor(input: () => JudgeInput) {
    this.#input = input
    const worker = new JudgeWorker(startJudgeWorker, (judgements, answered) => {
      this.#fromWorker = { judgements, input: answered }
    })
    $effect(() => {
      if (!this.#isSmall) worker.ask(this.#input())
    })
    $effect(() => () => worker.end())
  }
}
