import type { InputMask } from '../../port/pins.ts'
import type { Trials } from '../../title/rule-out.ts'
import type { Added, Shows } from './shows.ts'
import { AXES_HELD } from './held.ts'
import type { Answer, Suspects, Way } from './suspects.ts'

/** What is left of one way of telling six buttons. */
export interface WayLeft {
  readonly way: Way
  /** For each group of open samples the choices that are left. */
  readonly choices: readonly (readonly number[])[]
}

export interface Left {
  readonly ways: readonly WayLeft[]
  /** Answers that do not go with what is most likely, by their place; a right title in front of a right player has none. */
  readonly against: readonly number[]
  /** What told the way of telling six buttons, and what each group, of what is most likely. */
  readonly detectionTrials: Trials
  readonly groupTrials: readonly Trials[]
}

/**
 * One answer settles nothing, since it may be wrong: what the others speak for has to lead by two. Once answers have contradicted one another it has to
 * lead by three.
 */
const LEAD = { usual: 2, contradicted: 3 } as const

/** What some choices of a group can bring. */
const anyOf = (choices: readonly Shows[], among: readonly number[]): InputMask =>
  among.reduce((sum, c) => sum | (choices[c]?.may ?? 0), 0)

const everyOne = ({ each }: Added): number[][] => each.map((choices) => choices.map((_, c) => c))

/** Axes of which both directions can act: what walks both ways at once shows nothing. */
export function blurred(added: Added): InputMask {
  const may = everyOne(added).reduce(
    (sum, among, g) => sum | anyOf(added.each[g] ?? [], among),
    added.base.may,
  )
  return AXES_HELD.reduce((sum, axis) => ((may & axis) === axis ? sum | axis : sum), 0)
}

/** Acts that more than one group can bring, of what is left of each: which of them it was is not told by them. */
export function contested({ base, each }: Added, left: WayLeft['choices']): InputMask {
  let [once, twice] = [base.may, 0]
  each.forEach((choices, g) => {
    const may = anyOf(choices, left[g] ?? [])
    twice |= once & may
    once |= may
  })
  return twice
}

/** What an answer speaks against in one way of telling six buttons. */
interface Refuted {
  readonly base: boolean
  readonly choices: readonly (readonly boolean[])[]
}

/**
 * @param acts `null` speaks against nothing
 * @param left what is left of each group: acts are only put down to these
 */
function refutedBy(added: Added, acts: InputMask | null, left: WayLeft['choices']): Refuted {
  if (acts === null) return { base: false, choices: added.each.map((choices) => choices.map(() => false)) }
  const seen = ~blurred(added)
  const shown = acts & seen
  const { base, each } = added
  const can = each.map((choices, g) => anyOf(choices, left[g] ?? []))
  const all = can.reduce((sum, may) => sum | may, base.may)
  return {
    base: (base.must & seen & ~shown) !== 0 || (shown & ~all) !== 0,
    choices: each.map((choices, g) => {
      const others = can.reduce((sum, may, k) => (k === g ? sum : sum | may), base.may)
      /** Acts that nothing but this group can bring. */
      const own = shown & ~others & (can[g] as number)
      return choices.map(({ must, may }) => (must & seen & ~shown) !== 0 || (own & ~may) !== 0)
    }),
  }
}

const count = (all: readonly boolean[]): number => all.filter(Boolean).length

class Weighed {
  /** For each group and choice, by answer: whether it speaks against it. */
  readonly #against: readonly (readonly (readonly boolean[])[])[]
  readonly costs: readonly (readonly number[])[]
  /** Answers that do not go with the best that this way can be. */
  readonly answers: readonly number[]

  constructor(
    readonly way: Way,
    groups: Suspects['groups'],
    refuted: readonly Refuted[],
  ) {
    this.#against = groups.map((group, g) =>
      group.choices.map((_, c) => refuted.map(({ choices }) => choices[g]?.[c] ?? false)),
    )
    this.costs = this.#against.map((choices) => choices.map(count))
    this.answers = refuted.flatMap(({ base }, k) => (base || this.#isRefuted(k) ? [k] : []))
  }

  /** Answers that tell one choice of each group from another, and those of them that speak against the likeliest. */
  get groupTrials(): Trials[] {
    return this.#against.map((choices, g) => {
      const costs = this.costs[g] as readonly number[]
      const kept = choices[costs.indexOf(Math.min(...costs))] as readonly boolean[]
      const tells = kept.filter((_, k) => choices.some((against) => against[k])).length
      return { trials: tells, against: count(kept) }
    })
  }

  /** Whether an answer speaks against all that is likeliest of some group. */
  #isRefuted(answer: number): boolean {
    return this.#against.some((choices, g) => {
      const costs = this.costs[g] as readonly number[]
      const least = Math.min(...costs)
      return choices.every((against, c) => (costs[c] as number) > least || against[answer])
    })
  }
}

/** Whether nothing was ever seen to act: the title may show nothing, or was not played up to where it does. Then its answers tell nothing. */
const isNothingSeen = (answers: readonly Answer[]): boolean => answers.every(({ acts }) => !acts)

/** After so many answers without anything seen, asking on would be in vain. */
const ENOUGH_OF_NOTHING = 6

/** Whether it is time to say that nothing can be seen. */
export const showsNothing = (answers: readonly Answer[]): boolean =>
  isNothingSeen(answers) && answers.filter(({ acts }) => acts === 0).length >= ENOUGH_OF_NOTHING

/** What is left after some answers. What is ruled out brings nothing, so the same answers can say more of the rest: until they say no more. */
export function whatIsLeft(suspects: Suspects, given: readonly Answer[]): Left {
  const answers = isNothingSeen(given) ? [] : given
  const all = suspects.groups.map(({ choices }) => choices.map((_, c) => c))
  let left: Left = {
    ways: suspects.ways.map((way) => ({ way, choices: all })),
    against: [],
    detectionTrials: NONE_YET,
    groupTrials: [],
  }
  for (;;) {
    const next = leftBy(suspects, answers, left)
    if (sizeOf(next) >= sizeOf(left)) return next
    left = next
  }
}

const NONE_YET: Trials = { trials: 0, against: 0 }

const sizeOf = ({ ways }: Left): number =>
  ways.reduce((sum, { choices }) => choices.reduce((n, { length }) => n + length, sum), ways.length)

function leftBy(suspects: Suspects, answers: readonly Answer[], known: Left): Left {
  const weighed = known.ways.map(
    ({ way, choices }) =>
      new Weighed(
        way,
        suspects.groups,
        answers.map(({ question, acts }) => refutedBy(suspects.added(way, question), acts, choices)),
      ),
  )
  const best = weighed.reduce((one, other) => (other.answers.length < one.answers.length ? other : one))
  const least = best.answers.length
  const lead = least > 0 ? LEAD.contradicted : LEAD.usual
  const ways = weighed.flatMap(({ way, costs, answers: against }): WayLeft[] => {
    const spare = lead - 1 - (against.length - least)
    if (spare < 0) return []
    const choices = costs.map((of) => {
      const min = Math.min(...of)
      return of.flatMap((cost, c) => (cost - min <= spare ? [c] : []))
    })
    return [{ way, choices }]
  })
  const told = weighed.filter(({ answers: against }) => against.length > least)
  const telling = new Set(told.flatMap(({ answers: against }) => against))
  return {
    ways,
    against: best.answers,
    detectionTrials: { trials: telling.size, against: best.answers.filter((k) => telling.has(k)).length },
    groupTrials: best.groupTrials,
  }
}
