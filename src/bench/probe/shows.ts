import { cellLevel } from '../../port/chart.ts'
import { PINS, inputBit } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'
import type { OpenGroup, Taking } from '../../title/possible.ts'
import { samplesAt } from '../../title/place-of-sample.ts'
import { IDENTIFIES, scheduleOf } from '../../title/schedule.ts'
import type { TakenSample } from '../../title/schedule.ts'
import type { Takes, Title } from '../../title/schema.ts'
import { believes } from '../belief.ts'
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

const NOTHING: Shows = { must: 0, may: 0 }

const both = (one: Shows, other: Shows): Shows => ({ must: one.must | other.must, may: one.may | other.may })

/**
 * A title with one way of telling six buttons in front of a probe profile: what acts, for all timings at once. A sample is a leaf: what it is taken for changes nothing of
 * what it meets, so it is explored once for all that its samples may be.
 */
export class ProbedTitle {
  readonly #sight: Sight
  readonly #beliefs: Beliefs
  readonly #looks: readonly Look[]
  /** By group and by sample of it: the title's samples, by their index. */
  readonly #open: readonly (readonly (readonly number[])[])[]
  readonly #known = new Map<InputMask, Added>()

  /**
   * @param title with every open sample taken for something that waits for six buttons, where it may
   * @param mode the mode that is played; what another one samples does not show
   */
  constructor(
    { profile }: Probe,
    title: Title,
    private readonly groups: readonly OpenGroup[],
    adapter: CabledAdapter,
    mode: number,
  ) {
    const { samples } = explored(title, profile.chart, boxOf(profile, title, adapter))
    const { nodes } = scheduleOf(title)
    this.#sight = new Sight(profile, title)
    this.#beliefs = new Beliefs(this.#sight, samples)
    this.#open = groups.map((group) => group.samples.map(({ at }) => samplesAt(title, at)))
    this.#looks = nodes.flatMap((node, k) =>
      node.mode !== mode
        ? []
        : node.samples.map((sample) => ({
            uses: sample.uses.filter((use) => use !== IDENTIFIES),
            met: samples.filter((reply) => reply.node === k && reply.sample === sample && reply.awayNs === 0),
          })),
    )
  }

  added(held: InputMask): Added {
    const known = this.#known.get(held)
    if (known) return known
    const { schedule } = this.#sight
    const open = new Set(this.#open.flat(2))
    const base = this.#looks
      .flatMap((look) =>
        look.uses.flatMap((use) =>
          open.has(use) ? [] : [this.#seen(look, schedule.samples[use] as TakenSample, held)],
        ),
      )
      .reduce(both, NOTHING)
    const each = this.groups.map(({ samples, choices }, g) =>
      choices.map((choice) =>
        samples
          .map(({ takings }, k) =>
            this.#taken(this.#open[g]?.[k] ?? [], takings[choice[k] as number] as Taking, held),
          )
          .reduce(both, NOTHING),
      ),
    )
    const added = { base, each }
    this.#known.set(held, added)
    return added
  }

  /** What some samples show if they are taken for this. */
  #taken(indices: readonly number[], { sample, when }: Taking, held: InputMask): Shows {
    return this.#looks
      .filter(({ uses }) => uses.some((use) => indices.includes(use)))
      .map((look) => this.#seen(look, { ...plain(sample), when }, held))
      .reduce(both, NOTHING)
  }

  /** What one look shows that is taken for this. What counts only if another sample agrees may not count. */
  #seen(
    { met }: Look,
    taken: Pick<TakenSample, 'pins' | 'readBack' | 'when' | 'agreesWith'>,
    held: InputMask,
  ): Shows {
    let must = ~0
    let may = 0
    for (const reply of met) {
      const pressed = this.#lowPins(reply, taken, held)
      const beliefs = taken.when === 'always' ? [0 as const] : this.#beliefs.ofWaiting(reply)
      const takes = beliefs.map((belief) => believes(belief, held))
      must &= takes.length > 0 && takes.every(Boolean) ? pressed : 0
      if (takes.some(Boolean)) may |= pressed
    }
    const isAlone = Object.keys(taken.agreesWith).length === 0
    return { must: isAlone ? must & may : 0, may }
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
    readBack: select === undefined ? null : typeof select === 'string' ? select : null,
    agreesWith,
  }
}
