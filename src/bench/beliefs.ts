import { bothBeliefs, conditionsOf } from './belief.ts'
import type { Belief } from './belief.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import type { Sight } from './sight.ts'
import type { MetReply } from './weigh.ts'

/** What a title can come to believe, and by how much samples have to move before it does; 0 where it can as they are. */
export interface BeliefAt {
  readonly belief: Belief
  readonly movedNs: number
}

/**
 * Everything that a title can come to believe of a pad. Where one sample tells it, what waits for it knows what that sample met. Where several
 * tell it together, or where it holds on, each of them counts with everything that the others can meet: that can only make the judge stricter.
 * What moves the one can move the others as far, so a belief that takes several of them to move is as far away as the one that has to move most.
 */
export class Beliefs {
  /** By condition: what its samples can come to, each where they have to move least for it. */
  readonly #each: readonly (readonly BeliefAt[])[]
  /** The one that asks for the least among all that the title can come to. */
  readonly expected: Belief
  readonly #all: readonly BeliefAt[]
  readonly #known = new Map<string, readonly BeliefAt[]>()
  readonly #isAtOnce: boolean

  constructor(
    private readonly sight: Sight,
    samples: readonly MetReply[],
    /** Whether the samples are all that there are; what hangs on what is expected of all is not told before. */
    private readonly isWhole = true,
  ) {
    const { sixButtons } = sight.schedule
    this.#isAtOnce = sixButtons.kind !== 'told' || sixButtons.isAtOnce
    if (sixButtons.kind !== 'told') {
      this.#each = []
      this.expected = sixButtons.kind === 'assumed' ? 0 : 'never'
      this.#all = [asTheyAre(this.expected)]
      return
    }
    const each = sixButtons.by.map(() => new LeastMoves())
    const together = new LeastMoves()
    for (const sample of samples) {
      const { awayNs } = sample
      const conditions = conditionsOf(sight.schedule, sample.sample.uses)
      for (const k of conditions) each[k]?.add(this.#asks(k, sample), awayNs)
      if (awayNs === 0 && conditions.length > 0) together.add(this.#told(sample), 0)
    }
    this.#each = each.map(({ all }) => all)
    // What one sample tells at once comes together as it met it.
    this.#all = this.#isAtOnce ? together.all : this.#combined(new Map())
    this.expected = this.#all.reduce<Belief>(
      (best, { belief, movedNs }) =>
        movedNs === 0 && belief !== 'never' && (best === 'never' || belief < best) ? belief : best,
      'never',
    )
  }

  /** What a title can conclude once a sample that tells six buttons has met what it meets. */
  toldBy(sample: MetReply): readonly BeliefAt[] {
    if (!this.isWhole) return []
    if (this.#isAtOnce) return [asTheyAre(this.#told(sample))]
    const known = conditionsOf(this.sight.schedule, sample.sample.uses)
    return this.#combined(new Map(known.map((k) => [k, this.#asks(k, sample)])))
  }

  /** What a title can believe when it takes a sample that waits for six buttons. */
  ofWaiting({ identified, sample }: MetReply): readonly BeliefAt[] {
    if (!this.#isAtOnce) return this.#all
    if (identified === null) return this.isWhole ? [asTheyAre(this.expected)] : []
    return [asTheyAre(this.#told({ sample, code: identified }))]
  }

  /** With one sample for all conditions. */
  #told({ code }: Pick<MetReply, 'sample' | 'code'>): Belief {
    const { sixButtons } = this.sight.schedule
    if (sixButtons.kind !== 'told') return this.expected
    return this.sight.within(sixButtons.by.map((_, k) => this.#asks(k, { code })).reduce(bothBeliefs))
  }

  #asks(condition: number, { code }: Pick<MetReply, 'code'>): Belief {
    const { sixButtons } = this.sight.schedule
    const asked = sixButtons.kind === 'told' ? sixButtons.by[condition] : undefined
    return asked === undefined ? 'never' : this.sight.belief(asked, rowOf(code), levelOf(code))
  }

  /** All combinations of what the conditions can come to. @param given what some of them have come to */
  #combined(given: ReadonlyMap<number, Belief>): readonly BeliefAt[] {
    const key = [...given].join(' ')
    const known = this.#known.get(key)
    if (known) return known
    let all: readonly BeliefAt[] = [asTheyAre(0)]
    this.#each.forEach((beliefs, k) => {
      const one = given.get(k)
      const both = new LeastMoves()
      for (const before of all)
        for (const other of one === undefined ? beliefs : [asTheyAre(one)])
          both.add(bothBeliefs(before.belief, other.belief), Math.max(before.movedNs, other.movedNs))
      all = both.all
    })
    const within = new LeastMoves()
    for (const { belief, movedNs } of all) within.add(this.sight.within(belief), movedNs)
    this.#known.set(key, within.all)
    return within.all
  }
}

/** Of what waits for no belief. */
export const ALWAYS: readonly BeliefAt[] = [{ belief: 0, movedNs: 0 }]

const asTheyAre = (belief: Belief): BeliefAt => ({ belief, movedNs: 0 })

/** Beliefs, each with the least that it takes. */
class LeastMoves {
  readonly #moves = new Map<Belief, number>()

  add(belief: Belief, movedNs: number): void {
    const known = this.#moves.get(belief)
    if (known === undefined || movedNs < known) this.#moves.set(belief, movedNs)
  }

  get all(): readonly BeliefAt[] {
    return [...this.#moves].map(([belief, movedNs]) => ({ belief, movedNs }))
  }
}
