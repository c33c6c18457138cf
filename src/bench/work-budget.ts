/**
 * How much work all that one judgement asks may take together. Work is counted and not timed, so that a title is judged alike on every machine, and
 * however often it is asked. The unit is what it takes to compare two ranges of times.
 */
export class WorkBudget {
  #left: number

  constructor(work: number = MOST_WORK) {
    this.#left = work
  }

  get left(): number {
    return this.#left
  }

  get isSpent(): boolean {
    return this.#left <= 0
  }

  spend(work: number): void {
    this.#left -= work
  }

  /** Takes what was worked out before for as much work as it took then, so that remembering it changes no verdict. @returns whether that is left */
  pays(work: number): boolean {
    if (work >= this.#left) return false
    this.#left -= work
    return true
  }

  /** What is left, and enough more to look at what was found before the end came. */
  forFound(): WorkBudget {
    return new WorkBudget(Math.max(0, this.#left) + WORK_FOR_FOUND)
  }
}

/**
 * About a third of a second of the computer that it was measured on, and a second where nothing is compiled yet. A title of which a capture leaves open
 * what it samples takes most of it.
 */
const MOST_WORK = 14_000_000
/** The same whatever the budget is: what a smaller one has found, a larger one finds, too. */
const WORK_FOR_FOUND = 2_000_000

/** What else is done, in the same unit: times that were measured over some thousand titles, with the processor's own clock. */
export const WORK = {
  /** Comparing two sets of times, or trying whether they are one. */
  zone: 40,
  /** One order of what comes by itself on one way, with what stood meanwhile. */
  arrival: 250,
  /** One gap back from a sample. */
  gap: 30,
  /** What a sample meets, put together from all that was found for it. */
  reply: 400,
  /** Judging one of the things that a title may be, whatever comes of it. */
  title: 10_000,
} as const
