import { frameNs } from '../port/clocks.ts'
import { inputsIn } from '../port/pins.ts'
import type { Level } from '../port/pins.ts'
import { IDENTIFIES } from '../title/schedule.ts'
import type { Title, TitleSample } from '../title/schema.ts'
import { FINDING_KINDS } from './judgement.ts'
import type { Cause, Counterexample, FindingKind, SamplePlace } from './judgement.ts'
import type { Belief } from './belief.ts'
import type { Sight, Wrong, WrongKind } from './sight.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import type { ReplyCode } from './reach/counting.ts'
import type { SampledReply } from './reach/meets.ts'
import { toNodeNs } from './reach/to-node.ts'

/** A kind of misread with its smallest example, and the sample that it comes from, if a timing can be given for it. */
export interface WrongExample {
  readonly example: Counterexample
  readonly sample: SampledReply | null
}

/** All reads of a title weighed against what a profile answers. */
export interface Weighed {
  /** The belief that the pad stands for where timing does not spoil it. */
  readonly expected: Belief
  /** Least time to spare, or how deep inside a wrong reply a sample can be, below zero; infinite where no time hurts. */
  readonly marginNs: number
  readonly tightest: SamplePlace | null
  readonly wrongs: ReadonlyMap<FindingKind, WrongExample>
}

/** What it takes to tell whether a sample goes wrong, without the timing that leads to it. */
export type MetReply = Pick<SampledReply, 'sample' | 'code' | 'identified' | 'awayNs'>

/** The belief that asks for the least among all those that reads can come to. */
function expectedBelief(sight: Sight, title: Title, samples: readonly MetReply[]): Belief {
  const { sixButtons } = title
  if (sixButtons.kind === 'assumed') return 0
  if (sixButtons.kind === 'never') return 'never'
  let best: Belief = 'never'
  for (const { sample, code, awayNs } of samples) {
    if (awayNs > 0 || !sample.uses.includes(IDENTIFIES)) continue
    const belief = sight.belief(rowOf(code), levelOf(code))
    if (belief !== 'never' && (best === 'never' || belief < best)) best = belief
  }
  return best
}

/** Weighs everything that samples can meet. */
export function weigh(
  samples: readonly SampledReply[],
  sight: Sight,
  title: Title,
  expected = expectedBelief(sight, title, samples),
): Weighed {
  const scales = new Scales(sight, title, expected)
  for (const sample of samples) scales.weigh(sample)
  return scales
}

/**
 * The samples of which one has to meet something else before all is right: the first wrong one alone, or, where it is a belief that is
 * wrong, everything that the identification can meet with it. `null` where nothing is wrong: the quick question, for trying many charts.
 */
export function firstMisread(
  samples: readonly MetReply[],
  sight: Sight,
  title: Title,
): readonly MetReply[] | null {
  const scales = new Scales(sight, title, expectedBelief(sight, title, samples))
  const wrong = samples.find((sample) => sample.awayNs === 0 && scales.goesWrong(sample))
  if (wrong === undefined) return null
  const { sixButtons } = title
  if (sixButtons.kind !== 'identified') return [wrong]
  return [wrong, ...samples.filter(({ sample, awayNs }) => awayNs === 0 && sample.uses.includes(IDENTIFIES))]
}

/** Whether a sample that meets something goes wrong, with a belief that the pad is known to stand for. */
export function wrongness(
  samples: readonly SampledReply[],
  sight: Sight,
  title: Title,
): (sample: SampledReply) => boolean {
  const scales = new Scales(sight, title, expectedBelief(sight, title, samples))
  return (sample) => scales.goesWrong(sample)
}

class Scales implements Weighed {
  marginNs = Infinity
  tightest: SamplePlace | null = null
  readonly wrongs = new Map<FindingKind, WrongExample>()
  constructor(
    private readonly sight: Sight,
    private readonly title: Title,
    readonly expected: Belief,
  ) {}

  weigh(sample: SampledReply): void {
    this.#each(sample, (k, belief) => {
      const wrong = this.#wrong(sample.code, k, belief)
      if (wrong === null) return false
      if (sample.awayNs > 0) this.#keepSlack(sample, k)
      else this.#keepWrong(sample, k, belief, wrong)
      return false
    })
  }

  goesWrong(sample: MetReply): boolean {
    return this.#each(sample, (k, belief) => this.#wrong(sample.code, k, belief) !== null)
  }

  /** All that a sample is for, until one says that it is enough. `belief` is what must be held for the sample to be taken. */
  #each(sample: MetReply, see: (k: number, belief: number) => boolean): boolean {
    for (const k of sample.sample.uses) {
      const waits = k !== IDENTIFIES && (this.title.samples[k] as TitleSample).when === 'six-buttons'
      const belief = waits ? this.#belief(sample) : 0
      if (belief !== 'never' && see(k, belief)) return true
    }
    return false
  }

  #belief({ identified }: MetReply): Belief {
    if (identified === null) return this.expected
    return this.sight.belief(rowOf(identified), levelOf(identified))
  }

  #wrong(code: ReplyCode, k: number, belief: number, kind?: WrongKind): Wrong | null {
    const [rises, level] = [rowOf(code), levelOf(code)]
    return k === IDENTIFIES
      ? this.sight.wrongBelief(this.expected, this.sight.belief(rises, level))
      : this.sight.wrong(k, rises, level, belief, kind)
  }

  #keepSlack(sample: SampledReply, k: number): void {
    if (sample.awayNs >= this.marginNs) return
    this.marginNs = sample.awayNs
    this.tightest = this.#place(sample, k)
  }

  #keepWrong(sample: SampledReply, k: number, belief: number, wrong: Wrong): void {
    // A reply that never changes is wrong by a whole frame.
    const insideNs = Math.min(sample.insideNs, frameNs(this.title.standard))
    this.marginNs = Math.min(this.marginNs, insideNs === 0 ? 0 : -insideNs)
    const cause = this.#cause(sample, k, belief)
    const keep = (kind: FindingKind, found: Wrong | null): void => {
      if (found === null) return
      const example: Counterexample = {
        held: inputsIn(found.held),
        place: this.#place(sample, k),
        pins: found.pins,
        phantom: found.phantom,
        missed: found.missed,
        cause,
        shortNs: cause === 'settling' || cause === 'slow-rise' ? sample.untilNs : null,
      }
      const known = this.wrongs.get(kind)
      if (known === undefined || isSimpler(example, known.example)) this.wrongs.set(kind, { example, sample })
    }
    if (cause === 'settling' || cause === 'slow-rise') keep('too-early', wrong)
    else if (k === IDENTIFIES || cause === 'belief') keep('false-six-buttons', wrong)
    else {
      keep('phantom', this.#wrong(sample.code, k, belief, 'phantom'))
      keep('missed', this.#wrong(sample.code, k, belief, 'missed'))
    }
  }

  #cause(sample: SampledReply, k: number, belief: number): Cause {
    const { level } = this.#phase(k)
    if (this.title.drive.kind === 'released' && level === 'high' && levelOf(sample.code) === 'low')
      return 'slow-rise'
    if (sample.own.some((own) => this.#wrong(own, k, belief) === null)) return 'settling'
    return belief !== 0 ? 'belief' : 'count'
  }

  #phase(k: number): { readonly cycle: number; readonly level: Level } {
    if (k !== IDENTIFIES) return this.title.samples[k] as TitleSample
    if (this.title.sixButtons.kind === 'identified') return this.title.sixButtons
    throw new Error('a title without identification has no look for it')
  }

  #place({ node, frame, code, rises, afterEdge }: SampledReply, k: number): SamplePlace {
    const { cycle, level } = this.#phase(k)
    const { read, atNs } = toNodeNs(this.title, node)
    return {
      frame: frame + 1,
      read: read + 1,
      cycle,
      level,
      rises,
      shownLevel: levelOf(code),
      atNs: atNs + afterEdge.minNs,
      afterEdgeNs: afterEdge.minNs,
    }
  }
}

/** What was found, in the order in which kinds are told. */
export const inOrder = ({ wrongs }: Pick<Weighed, 'wrongs'>): WrongExample[] =>
  FINDING_KINDS.flatMap((kind) => wrongs.get(kind) ?? [])

/** The one with the fewest inputs held, and of these the one with the earliest sample. */
export function simplest(examples: readonly Counterexample[]): Counterexample | null {
  let best: Counterexample | null = null
  for (const example of examples) if (best === null || isSimpler(example, best)) best = example
  return best
}

/** Fewer inputs held first, then the earlier sample. */
function isSimpler(p: Counterexample, q: Counterexample): boolean {
  const order = ({ held, place }: Counterexample) => [held.length, place.frame, place.read, place.atNs]
  const [ours, theirs] = [order(p), order(q)]
  const k = ours.findIndex((value, at) => value !== theirs[at])
  return k !== -1 && (ours[k] as number) < (theirs[k] as number)
}
