import type { Fix, FixSoFar } from '../bench/fix.ts'
import { aside, overwriteAside } from './output.ts'
import { fixTexts as t } from './output-texts.ts'

/** The best so far is told within five seconds, and one step of a search can take almost two. */
const TOLD_AFTER_MS = 3_000

/** How often the line is written again. */
const LINE_MS = 200

/** Shows on a terminal how far a search for fixes has come. */
export class FixProgress {
  #lineMs = -LINE_MS
  #told: 'nothing' | 'none' | 'best' = 'nothing'

  /** @param words one fix as a line, with what it makes of the titles */
  constructor(private readonly words: (fix: Fix) => string) {
    // Before the first step, which can take as long as any.
    this.show({ tried: 0, best: null }, 0)
  }

  show({ tried, best }: FixSoFar, ms: number): void {
    if (ms >= TOLD_AFTER_MS) this.#tellOnce(best)
    if (ms - this.#lineMs < LINE_MS) return
    this.#lineMs = ms
    overwriteAside(t.tried({ n: tried }))
  }

  /** Leaves nothing of the line; to be called before anything else is said. */
  clear(): void {
    overwriteAside('')
  }

  /** The best so far; where there is none yet, the first one as soon as there is. */
  #tellOnce(best: Fix | null): void {
    const tells = best === null ? 'none' : 'best'
    if (this.#told === 'best' || this.#told === tells) return
    this.#told = tells
    this.clear()
    aside(best === null ? t.noneSoFar : t.bestSoFar({ fix: this.words(best) }))
  }
}
