import { frameNs } from '../port/clocks.ts'
import { inputsIn } from '../port/pins.ts'
import { IDENTIFIES } from '../title/schedule.ts'
import type { Schedule, StepPlace, TakenSample } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { agreementsOf } from './agreements.ts'
import type { Agreements } from './agreements.ts'
import { FINDING_KINDS } from './judgement.ts'
import type { Cause, Counterexample, FindingKind, SamplePlace, TightPlace } from './judgement.ts'
import type { Belief } from './belief.ts'
import { ALWAYS, Beliefs } from './beliefs.ts'
import type { BeliefAt } from './beliefs.ts'
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
  readonly tightest: TightPlace | null
  readonly wrongs: ReadonlyMap<FindingKind, WrongExample>
}

/** What it takes to tell whether a sample goes wrong, without the timing that leads to it. */
export type MetReply = Pick<SampledReply, 'sample' | 'code' | 'identified' | 'awayNs'>

/**
 * Weighs everything that samples can meet.
 *
 * @param isMeant the samples that are weighed; what is believed hangs on all of them all the same
 */
export function weigh(
  samples: readonly SampledReply[],
  sight: Sight,
  title: Title,
  beliefs = new Beliefs(sight, samples),
  isMeant: (reply: SampledReply) => boolean = () => true,
): Weighed {
  const scales = new Scales(sight, title, beliefs, agreementsOf(samples, sight, beliefs))
  for (const sample of samples) if (isMeant(sample)) scales.weigh(sample)
  const { expected, marginNs, tightest, wrongs } = scales
  return { expected, marginNs, tightest, wrongs }
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
  const beliefs = new Beliefs(sight, samples)
  const scales = new Scales(sight, title, beliefs, agreementsOf(samples, sight, beliefs))
  const wrong = samples.find((sample) => sample.awayNs === 0 && scales.goesWrong(sample))
  if (wrong === undefined) return null
  const others = scales.hasPartners ? samples.filter(({ awayNs }) => awayNs === 0) : []
  if (sight.schedule.sixButtons.kind !== 'told') return [wrong, ...others]
  return [
    wrong,
    ...others,
    ...samples.filter(({ sample, awayNs }) => awayNs === 0 && sample.uses.includes(IDENTIFIES)),
  ]
}

/** Whether a sample that meets something goes wrong, with what the title believes where nothing was counted before. */
export function wrongness(sight: Sight, title: Title, beliefs: Beliefs): (sample: MetReply) => boolean {
  const scales = new Scales(sight, title, beliefs, null)
  return (sample) => scales.goesWrong(sample)
}

class Scales implements Weighed {
  marginNs = Infinity
  /** The sample with the least to spare, and what it is for. */
  #nearest: { readonly sample: SampledReply; readonly k: number } | null = null
  readonly wrongs = new Map<FindingKind, WrongExample>()
  readonly #schedule: Schedule

  /** @param agreements `null`: every sample counts for itself */
  constructor(
    private readonly sight: Sight,
    private readonly title: Title,
    private readonly beliefs: Beliefs,
    private readonly agreements: Agreements | null,
  ) {
    this.#schedule = sight.schedule
  }

  get tightest(): TightPlace | null {
    if (this.#nearest === null) return null
    const { sample, k } = this.#nearest
    return { ...this.#place(sample, k), by: this.#waitsForRise(sample, k) ? 'rise' : 'edge' }
  }

  get expected(): Belief {
    return this.beliefs.expected
  }

  /** Whether some sample is believed only together with another. */
  get hasPartners(): boolean {
    return this.agreements !== null
  }

  weigh(sample: SampledReply): void {
    this.#each(sample, (k, { belief, movedNs }) => {
      const awayNs = Math.max(sample.awayNs, movedNs)
      const wrong = awayNs === 0 ? this.#wrong(sample.code, k, belief) : null
      if (wrong) this.#keepWrong(sample, k, belief, wrong)
      else this.#keepSlack(sample, k, this.#spareNs(sample.code, awayNs, k, belief))
      return false
    })
  }

  goesWrong(sample: MetReply): boolean {
    return this.#each(
      sample,
      (k, { belief, movedNs }) => movedNs === 0 && this.#wrong(sample.code, k, belief) !== null,
    )
  }

  /** All that a sample is for, until one says that it is enough, with each belief that it can stand in: of `IDENTIFIES` the one that it tells. */
  #each(sample: MetReply, see: (k: number, belief: BeliefAt) => boolean): boolean {
    for (const k of sample.sample.uses) {
      if (k === IDENTIFIES) {
        for (const belief of this.beliefs.toldBy(sample)) if (see(k, belief)) return true
        continue
      }
      const waits = (this.#schedule.samples[k] as TakenSample).when === 'six-buttons'
      for (const belief of waits ? this.beliefs.ofWaiting(sample) : ALWAYS)
        if (belief.belief !== 'never' && see(k, belief)) return true
    }
    return false
  }

  /** By how much a sample, and a partner that it has to agree with, have to move for it to go wrong; infinite where no time hurts. */
  #spareNs(code: ReplyCode, awayNs: number, k: number, belief: Belief): number {
    const moves = (k === IDENTIFIES ? undefined : this.agreements?.movesOf(k)) ?? [0]
    for (const partnerNs of moves) {
      const movedNs = Math.max(awayNs, partnerNs)
      if (movedNs >= this.marginNs) break
      if (this.#wrong(code, k, belief, undefined, movedNs) !== null) return movedNs
    }
    return Infinity
  }

  #wrong(code: ReplyCode, k: number, belief: Belief, kind?: WrongKind, movedNs = 0): Wrong | null {
    if (k === IDENTIFIES) return this.sight.wrongBelief(this.expected, belief)
    if (belief === 'never') return null
    const [rises, level] = [rowOf(code), levelOf(code)]
    return this.sight.wrong(k, rises, level, belief, kind, this.agreements?.countsOf(k, movedNs))
  }

  #keepSlack(sample: SampledReply, k: number, spareNs: number): void {
    if (spareNs >= this.marginNs) return
    this.marginNs = spareNs
    this.#nearest = { sample, k }
  }

  #keepWrong(sample: SampledReply, k: number, belief: Belief, wrong: Wrong): void {
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

  #cause(sample: SampledReply, k: number, belief: Belief): Cause {
    if (sample.sample.isReadBack) return 'read-back'
    if (this.#waitsForRise(sample, k)) return 'slow-rise'
    const isRight = (code: ReplyCode): boolean =>
      k === IDENTIFIES
        ? this.beliefs
            .toldBy({ ...sample, code })
            .some((told) => told.movedNs === 0 && this.#wrong(code, k, told.belief) === null)
        : this.#wrong(code, k, belief) === null
    if (sample.own.some(isRight)) return 'settling'
    return k !== IDENTIFIES && belief !== 0 ? 'belief' : 'count'
  }

  /** Whether a sample of a high phase meets a low one because a line that was released, in its read or before it, has not risen. */
  #waitsForRise(sample: SampledReply, k: number): boolean {
    if (this.#schedule.rise === null || levelOf(sample.code) === 'high') return false
    const { edge } = toNodeNs(this.#schedule, sample.node)
    return this.#stepOf(sample, k).level === 'high' && edge !== 'high'
  }

  /** Where the sample is taken: the title's own, or the one that tells six buttons. */
  #stepOf({ sample }: SampledReply, k: number): StepPlace {
    const index = k !== IDENTIFIES ? k : sample.uses.find((use) => use !== IDENTIFIES)
    return (this.#schedule.samples[index as number] as TakenSample).place
  }

  #place(reply: SampledReply, k: number): SamplePlace {
    const { node, frame, code, rises, afterEdge } = reply
    const { mode, read: readOfMode, step, cycle, level } = this.#stepOf(reply, k)
    const { read, atNs, edgeNs } = toNodeNs(this.#schedule, node)
    return {
      mode: mode + 1,
      readOfMode: readOfMode + 1,
      frame: frame + 1,
      read: read + 1,
      step: step + 1,
      cycle,
      level,
      rises,
      shownLevel: levelOf(code),
      atNs: atNs + afterEdge.minNs,
      afterEdgeNs: atNs - edgeNs + afterEdge.minNs,
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
