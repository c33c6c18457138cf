import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { weighStated } from './judge-stated.ts'
import type { WeighedStated } from './judge-stated.ts'
import type { Judgement, JudgeOptions } from './judgement.ts'
import { WORK } from './work-budget.ts'
import type { WorkBudget } from './work-budget.ts'

/** Asks what one title may be, all on one budget. */
export class Judging {
  /** What each of them misreads. */
  readonly #misreads = new Map<Title, Judgement | null>()
  #isOver = false

  constructor(
    private readonly profile: Profile,
    private readonly options: JudgeOptions,
    private readonly budget: WorkBudget,
  ) {}

  /** Whether the budget ended before something was decided that was asked. */
  get isOver(): boolean {
    return this.#isOver
  }

  weigh(title: Title): WeighedStated & { readonly judged: Judgement } {
    this.budget.spend(WORK.title)
    const weighed = weighStated(this.profile, title, this.options, this.budget)
    const judged = weighed.atRest()
    const { verdict, isWhole } = judged
    if (verdict === 'undecided' && !isWhole) this.#isOver = true
    this.#misreads.set(title, verdict === 'misread' ? judged : null)
    return { ...weighed, judged }
  }

  /** What it misreads; `null` where it reads right, where that is not decided, and once the budget has ended. */
  misreadOf(title: Title): Judgement | null {
    if (!this.#misreads.has(title) && !this.#isOver) this.weigh(title)
    return this.#misreads.get(title) ?? null
  }
}
