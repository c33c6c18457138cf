import { cellLevel } from '../../port/chart.ts'
import { PINS, inputBit } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { OpenGroup, Taking } from '../../title/possible.ts'
import { samplesAt } from '../../title/place-of-sample.ts'
import { IDENTIFIES, scheduleOf } from '../../title/schedule.ts'
import type { TakenSample } from '../../title/schedule.ts'
import type { Takes, Title } from '../../title/schema.ts'
import { believes } from '../belief.ts'
import type { Belief } from '../belief.ts'
import { Beliefs } from '../beliefs.ts'
import { boxOf } from '../box.ts'
import { explored } from '../explored.ts'
import type { CabledAdapter } from '../judgement.ts'
import { levelOf, rowOf } from '../reach/counting.ts'
import type { SampledReply } from '../reach/meets.ts'
import { Sight } from '../sight.ts'
import type { Probe } from './probe-profiles.ts'

/** What acts in a title while something is held: what does in every timing, and what can. */
export interface Shows {
  readonly must: InputMask
  readonly may: InputMask
}

/** What the samples that are not open show, and what each choice of each group of open ones does. */
export interface Added {
  readonly base: Shows
  readonly each: readonly (readonly Shows[])[]
}

/** One look at the pins, with all that it can meet. */
interface Look {
  readonly uses: readonly number[]
  readonly met: readonly SampledReply[]
}

/** What a sample is taken for, in all the looks that take it. */
interface TakenLooks {
  readonly taken: Pick<TakenSample, 'pins' | 'readBack' | 'when' | 'agreesWith'>
  readonly looks: readonly Look[]
}

const NOTHING: Shows = { must: 0, may: 0 }

const both = (one: Shows, other: Shows): Shows => ({ must: one.must | other.must, may: one.may | other.may })

/**
 * A title with one way of telling six buttons in front of a probe profile: what acts, for all timings at once. A sample is a leaf: what it is taken for changes nothing of
 * what it meets, so it is explored once for all that its samples may be.
 */
export class ProbedTitle {
  readonly #sight: Sight
  readonly #beliefs: Beliefs
  /** What is not open, and by group and choice what its samples are taken for: each with the looks that it is taken in. */
  readonly #base: readonly TakenLooks[]
  readonly #each: readonly (readonly (readonly TakenLooks[])[])[]
  readonly #known = new Map<InputMask, Added>()

  /**
   * @param title with every open sample taken for something that waits for six buttons, where it may
   * @param mode the mode that is played; what another one samples does not show
   */
  constructor(
    { profile }: Probe,
    title: Title,
    groups: readonly OpenGroup[],
    adapter: CabledAdapter,
    mode: number,
  ) {
    const { samples } = explored(title, profile.chart, boxOf(profile, title, adapter))
    const { nodes } = scheduleOf(title)
    this.#sight = new Sight(profile, title)
    this.#beliefs = new Beliefs(this.#sight, samples)
    const looks = nodes.flatMap((node, k) =>
      node.mode !== mode
        ? []
        : node.samples.map((sample) => ({
            uses: sample.uses.filter((use) => use !== IDENTIFIES),
            met: samples.filter((reply) => reply.node === k && reply.sample === sample && reply.awayNs === 0),
          })),
    )
    const looksOf = (indices: readonly number[]): Look[] =>
      looks.filter(({ uses }) => uses.some((use) => indices.includes(use)))
    const openLooks = groups.map((group) => group.samples.map(({ at }) => samplesAt(title, at)))
    const open = new Set(openLooks.flat(2))
    this.#base = this.#sight.schedule.samples.flatMap((taken, k) =>
      open.has(k) ? [] : [{ taken, looks: looksOf([k]) }],
    )
    this.#each = groups.map(({ samples: all, choices }, g) => {
      const looksIn = (openLooks[g] ?? []).map(looksOf)
      return choices.map((choice) =>
        all.map(({ takings }, k): TakenLooks => {
          const { sample, when } = takings[choice[k] as number] as Taking
          return { taken: { ...plain(sample), when }, looks: looksIn[k] ?? [] }
        }),
      )
    })
  }

  added(held: InputMask): Added {
    const known = this.#known.get(held)
    if (known) return known
    const seen = (all: readonly TakenLooks[]): Shows =>
      all
        .flatMap(({ taken, looks }) => looks.map((look) => this.#seen(look, taken, held)))
        .reduce(both, NOTHING)
    const added = { base: seen(this.#base), each: this.#each.map((choices) => choices.map(seen)) }
    this.#known.set(held, added)
    return added
  }

  /** What one look shows that is taken for this. What counts only if another sample agrees may not count. */
  #seen({ met }: Look, taken: TakenLooks['taken'], held: InputMask): Shows {
    if (taken.readBack === null && Object.keys(taken.pins).length === 0) return NOTHING
    let must = ~0
    let may = 0
    for (const reply of met) {
      const pressed = this.#lowPins(reply, taken, held)
      const takes = this.#beliefsAt(reply, taken.when).map((belief) => believes(belief, held))
      must &= takes.length > 0 && takes.every(Boolean) ? pressed : 0
      if (takes.some(Boolean)) may |= pressed
    }
    const isAlone = Object.keys(taken.agreesWith).length === 0
    return { must: isAlone ? must & may : 0, may }
  }

  /** What the title can believe as it takes the sample, if nothing moves. */
  #beliefsAt(reply: SampledReply, when: TakenSample['when']): Belief[] {
    if (when === 'always') return [0]
    return this.#beliefs.ofWaiting(reply).flatMap(({ belief, movedNs }) => (movedNs === 0 ? [belief] : []))
  }

  #lowPins(
    { code, sample }: SampledReply,
    { pins, readBack }: Pick<TakenSample, 'pins' | 'readBack'>,
    held: InputMask,
  ): InputMask {
    const level = levelOf(code)
    if (sample.isReadBack) return readBack !== null && level === 'low' ? inputBit(readBack) : 0
    const phase = this.#sight.phase(rowOf(code), level)
    let pressed = 0
    for (const pin of PINS) {
      const input = pins[pin]
      if (input !== undefined && cellLevel(phase[pin], held) === 'low') pressed |= inputBit(input)
    }
    return pressed
  }
}

/** What a file takes a sample for, with what has to agree told by its pins alone. */
function plain(sample: Takes): Pick<TakenSample, 'pins' | 'readBack' | 'agreesWith'> {
  const pins: Partial<Record<(typeof PINS)[number], TakenSample['pins'][1]>> = {}
  const agreesWith: Partial<Record<(typeof PINS)[number], number>> = {}
  for (const pin of PINS) {
    const taken = sample[pin]
    if (taken === undefined) continue
    pins[pin] = typeof taken === 'string' ? taken : taken.input
    if (typeof taken !== 'string') agreesWith[pin] = 0
  }
  const { select } = sample
  return {
    pins: pins as TakenSample['pins'],
    readBack: select ?? null,
    agreesWith,
  }
}
