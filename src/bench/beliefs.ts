import { bothBeliefs, conditionsOf } from './belief.ts'
import type { Belief } from './belief.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import type { Sight } from './sight.ts'
import type { MetReply } from './weigh.ts'

/**
 * Everything that a title can come to believe of a pad. Where one sample tells it, what waits for it knows what that sample met. Where several
 * tell it together, or where it holds on, each of them counts with everything that the others can meet: that can only make the judge stricter.
 */
export class Beliefs {
  /** By condition: what its samples can come to. */
  readonly #each: readonly (readonly Belief[])[]
  /** The one that asks for the least among all that the title can come to. */
  readonly expected: Belief
  readonly #all: readonly Belief[]
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
      this.#all = [this.expected]
      return
    }
    const each = sixButtons.by.map((): Set<Belief> => new Set())
    const together = new Set<Belief>()
    for (const sample of samples) {
      if (sample.awayNs > 0) continue
      for (const k of conditionsOf(sight.schedule, sample.sample.uses)) each[k]?.add(this.#asks(k, sample))
      if (sixButtons.isAtOnce && conditionsOf(sight.schedule, sample.sample.uses).length > 0)
        together.add(this.#told(sample))
    }
    this.#each = each.map((beliefs) => [...beliefs])
    // What one sample tells at once comes together as it met it.
    this.#all = sixButtons.isAtOnce ? [...together] : this.#combined(new Map())
    this.expected = this.#all.reduce<Belief>(
      (best, belief) => (belief !== 'never' && (best === 'never' || belief < best) ? belief : best),
      'never',
    )
  }

  /** What a title can conclude once a sample that tells six buttons has met what it meets. */
  toldBy(sample: MetReply): readonly Belief[] {
    if (!this.isWhole) return []
    if (this.#isAtOnce) return [this.#told(sample)]
    const known = conditionsOf(this.sight.schedule, sample.sample.uses)
    return this.#combined(new Map(known.map((k) => [k, this.#asks(k, sample)])))
  }

  /** What a title can believe when it takes a sample that waits for six buttons. */
  ofWaiting({ identified, sample }: MetReply): readonly Belief[] {
    if (!this.#isAtOnce) return this.#all
    if (identified === null) return this.isWhole ? [this.expected] : []
    return [this.#told({ sample, code: identified })]
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

  /** All combinations of what the conditions can come to. @param known what some of them have come to */
  #combined(known: ReadonlyMap<number, Belief>): Belief[] {
    let all: readonly Belief[] = [0]
    this.#each.forEach((beliefs, k) => {
      const one = known.get(k)
      const ones = one === undefined ? beliefs : [one]
      all = [...new Set(all.flatMap((belief) => ones.map((other) => bothBeliefs(belief, other))))]
    })
    return [...new Set(all.map((belief) => this.sight.within(belief)))]
  }
}
