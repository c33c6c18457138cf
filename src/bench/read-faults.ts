import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { boxOf } from './box.ts'
import { readOfSample } from './drawable-reads.ts'
import type { DrawableRead } from './drawable-reads.ts'
import { explored } from './explored.ts'
import type { Counterexample, Judgement, CabledAdapter, SamplePlace } from './judgement.ts'
import { moveThatHurts } from './moves.ts'
import { inShownFrames } from './shown-frames.ts'
import { misreadIn } from './shown-misread.ts'
import type { ShownMisread } from './shown-misread.ts'
import { inOrder, simplest } from './weigh.ts'
import { weighTitle } from './weigh-title.ts'
import { WorkBudget } from './work-budget.ts'
import type { IsMeant, WeighedTitle } from './weigh-title.ts'

/** What is to be marked in the drawing of a read. */
export interface ReadFault {
  readonly example: Counterexample | null
  /** The timing in which it happens, where one can be given and is to blame. */
  readonly shown: ShownMisread | null
  readonly tight: { readonly place: SamplePlace; readonly spareNs: number } | null
  /** The sample that is nearest to a fault, whether or not it is marked; `null`: no timing can hurt. */
  readonly place: SamplePlace | null
}

/** What is wrong with each read of a title in front of a profile. Everything is weighed once, when it is first asked for. */
export class ReadFaults {
  #known: WeighedTitle | null = null
  readonly #budget = new WorkBudget()

  constructor(
    private readonly profile: Profile,
    private readonly title: Title,
    private readonly adapter: CabledAdapter,
  ) {}

  /** What a judgement speaks of. */
  judged({ counterexample: example, tightest, verdict, marginNs }: Judgement): ReadFault {
    // No timing is to blame for opposite directions.
    const isTimed = example !== null && example.cause !== 'opposite'
    const shown = isTimed ? misreadIn(this.#weighed) : null
    const isTight = verdict === 'tight' && tightest !== null && marginNs !== null
    return {
      example: shown?.example ?? example,
      shown,
      tight: isTight ? { place: tightest, spareNs: marginNs } : null,
      place: example?.place ?? tightest,
    }
  }

  /** What is worst in one read. @param marginNs the least that a sample has to spare where it is not tight */
  within(read: DrawableRead, marginNs: number): ReadFault {
    const isMeant = this.#isOf(read)
    const { weighed, stays } = inShownFrames(this.#weighed, this.#weighed.within(isMeant))
    const example = simplest(inOrder(stays ?? weighed).map((one) => one.example))
    if (example !== null)
      return { example, shown: misreadIn(this.#weighed, isMeant), tight: null, place: example.place }
    const { profile, title } = this
    const knownNs = Math.min(marginNs, weighed.marginNs)
    const moved = moveThatHurts(this.#box, false, knownNs, marginNs, (wider) => {
      const exploration = explored(title, profile.chart, wider, this.#budget, 'what-is-met')
      const there = weighTitle(profile, title, wider, exploration, this.#budget)
      const { stays, weighed: ofRead } = there.within(isMeant)
      return there.isWhole ? (stays ?? ofRead) : null
    })
    // What was not followed to its end is nothing to mark.
    const hurts = moved?.isLeast ? null : moved
    const place = hurts?.tightest ?? weighed.tightest
    const spareNs = hurts?.marginNs ?? weighed.marginNs
    return { example, shown: null, tight: place && spareNs < marginNs ? { place, spareNs } : null, place }
  }

  isWrong(read: DrawableRead): boolean {
    const { weighed, stays } = this.#weighed.within(this.#isOf(read))
    return (stays ?? weighed).wrongs.size > 0
  }

  #isOf({ has }: DrawableRead): IsMeant {
    const schedule = scheduleOf(this.title)
    return ({ sample }) => has(readOfSample(schedule, sample))
  }

  get #box() {
    return boxOf(this.profile, this.title, this.adapter)
  }

  get #weighed(): WeighedTitle {
    return (this.#known ??= this.#weighAll())
  }

  #weighAll(): WeighedTitle {
    const exploration = explored(this.title, this.profile.chart, this.#box, this.#budget)
    return weighTitle(this.profile, this.title, this.#box, exploration, this.#budget)
  }
}
