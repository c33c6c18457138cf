import { NO_JUDGEMENTS, joined } from './judgements.ts'
import type { JudgeInput, Judgements } from './judgements.ts'
import type { LateBench } from './late-bench.svelte.ts'
import { earlierIfSame, othersThan, slowOf } from './slow-titles.ts'

/** The verdicts of all titles on the open profile, judged again whenever anything they rest on changes. */
export class Verdicts {
  readonly #input: () => JudgeInput
  readonly #late: LateBench
  #fromPool = $state.raw<{ judgements: Judgements; input: JudgeInput | null }>({
    judgements: NO_JUDGEMENTS,
    input: null,
  })
  #lastSlow: JudgeInput | null = null

  /** What the workers are asked; the same while only other titles are edited. */
  readonly #slow: JudgeInput = $derived.by(() => {
    const input = this.#input()
    this.#lastSlow = earlierIfSame(this.#lastSlow, { ...input, titles: slowOf(input.titles) })
    return this.#lastSlow
  })

  readonly #judge = $derived.by(() => (this.#late.core ? new this.#late.core.Judge() : null))

  /** Those of slow titles come a moment after the edit; until then the last ones stand. */
  readonly all: Judgements = $derived.by(() => {
    const input = this.#input()
    const here = this.#judge?.all({ ...input, titles: othersThan(this.#slow.titles, input.titles) })
    return joined(input.titles, here ?? NO_JUDGEMENTS, this.#fromPool.judgements)
  })

  /** Whether some judgements are those of an earlier edit. */
  readonly pending: boolean = $derived.by(
    () => this.#slow.titles.length > 0 && this.#fromPool.input !== this.#slow,
  )

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
        if (this.#slow.titles.length > 0) pool.ask(this.#slow)
      })
      return () => pool.end()
    })
  }
}
