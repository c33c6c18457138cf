import type { RangeNs } from '../../port/range.ts'
import { IDENTIFIES } from '../../title/schedule.ts'
import type { Schedule, ScheduleNode, Way } from '../../title/schedule.ts'
import { WORK, WorkBudget } from '../work-budget.ts'
import { NONE } from './counting.ts'
import type { ReplyCode } from './counting.ts'
import type { Reach } from './explore.ts'
import { mostStretches } from './steps.ts'
import { countedAfter, replyTo } from './pairs.ts'
import type { SampleAt } from './pairs.ts'
import { FOR_EVER_NS } from './steps.ts'
import { NO_MEMORY, memoryKey, pairOf } from './stood.ts'
import type { Stood } from './stood.ts'

/** A reply that a sample of a title can meet, or would meet if something moved. */
export interface SampledReply extends SampleAt {
  readonly code: ReplyCode
  /** Rising edges since the last idle reset that it answers, in the timing that shows it. */
  readonly rises: number
  /** What the identification met in the same read; `null` where that does not matter to the sample. */
  readonly identified: ReplyCode | null
  /**
   * 0 where the sample can meet the code. Otherwise the least time by which it, or the edges and resets before it, would have to move for
   * that.
   */
  readonly awayNs: number
  /** The most by which both ends of the reply can be away from the sample; 0 where it cannot meet it. */
  readonly insideNs: number
  /** The most by which the end of the reply can still be away; `null` where it does not end by itself. */
  readonly untilNs: number | null
  /** Replies to the edge of the sample's own phase that can still be to come. */
  readonly own: readonly ReplyCode[]
  /** A frame since power-on, from 0, in which one of the timings of its state meets this; `walkBack` says that of the one that it gives. */
  readonly frame: number
  /** From the instant of its node to the sample. */
  readonly afterEdge: RangeNs
  /** Whether it can be met for certain; false where a timing of another state may have been taken for one of this. */
  readonly isExact: boolean
  /** How it comes to that; `null` where no more was asked than what is met. */
  readonly found: Found | null
  /** What the identification of the read meets after it, where that matters: a timing has to lead on to this. */
  readonly then: SampledReply | null
}

/** Where a code stood that a sample can meet. */
export interface Found {
  readonly stood: Stood
  /** From the node at which it stood to that of the sample, in order, each with the time that it lasts there. */
  readonly ways: readonly Way[]
}

/** Margins past it are told as if nothing could hurt. */
const FORGET_AFTER_NS = 250_000_000

/** What is asked for. */
interface Asked {
  /** Which frames, where all of them were told apart; otherwise `null`. */
  readonly frames: { readonly from: number; readonly to: number } | null
  /** Whether nothing is asked of what is not met, nor how it comes to what is. */
  readonly isMetOnly: boolean
}

/** Everything that samples can meet, and how far away all else is; less than that where the budget is spent. */
export const meetsOf = (reach: Reach, budget = new WorkBudget()): SampledReply[] =>
  replies(reach, { frames: null, isMetOnly: false }, budget)

/** Everything that samples can meet, and no more: for questions that only ask whether anything goes wrong. */
export const metOf = (reach: Reach, budget = new WorkBudget()): SampledReply[] =>
  replies(reach, { frames: null, isMetOnly: true }, budget)

/** The same from a frame on, where all of them were told apart. */
export const meetsFrom = (reach: Reach, frame: number, budget = new WorkBudget()): SampledReply[] =>
  replies(reach, { frames: { from: frame, to: Infinity }, isMetOnly: false }, budget)

/** Everything that samples can meet in one frame, where all of them were told apart. */
export const metIn = (reach: Reach, frame: number, budget = new WorkBudget()): SampledReply[] =>
  replies(reach, { frames: { from: frame, to: frame }, isMetOnly: true }, budget)

function replies(reach: Reach, asked: Asked, budget: WorkBudget): SampledReply[] {
  const walk = new Walk(reach, asked, budget)
  const all = reach.steps.schedule.nodes.flatMap((node, k) =>
    node.samples.flatMap((sample) => (budget.isSpent ? [] : walk.meets({ node: k, sample }))),
  )
  return asked.isMetOnly ? all.filter(({ awayNs }) => awayNs === 0) : all
}

type GapWay = Extract<Way, { kind: 'gap' }>

/** A gap on the way back from a sample, and what lies between its end and the node of the sample. */
interface Gap {
  /** The node at its end. */
  readonly here: number
  /** Whether times count from the place of its read instead of from it. */
  readonly fromPlace: boolean
  /** How many gaps of its read are stretched after it. */
  readonly stretches: number
  /** Whether the node of the pair's first sample comes after it. */
  readonly isBeforeFirst: boolean
  readonly lasts: RangeNs
  readonly frames: number
  readonly onward: Onward | null
}

/** The way on from a gap, and those after it; `null` where the gap ends at the node of the sample. */
interface Onward {
  readonly way: Way
  readonly then: Onward | null
}

function waysOf(onward: Onward | null): Way[] {
  const ways: Way[] = []
  for (let one = onward; one !== null; one = one.then) ways.push(one.way)
  return ways
}

/** A gap that was come by: all that is not told by where it is. */
interface Visited {
  readonly stretches: number
  readonly frames: number
  readonly lasts: RangeNs
}

/** Where a walk back has been. */
class Visits {
  readonly #known = new Map<number, Visited[]>()
  /**
   * Whether there is nothing to find from a gap on that was not found already.
   *
   * @param isPassed whether it is over before the sample can meet it
   * @param from the frame from which on it matters: what is so many frames back or more is in it
   */
  isNothingNew(gap: Gap, isPassed: boolean, from: number): boolean {
    const { here, fromPlace, isBeforeFirst } = gap
    const place = ((here * 2 + (fromPlace ? 1 : 0)) * 2 + (isBeforeFirst ? 1 : 0)) * 2 + (isPassed ? 1 : 0)
    const known = this.#known.get(place)
    if (known === undefined) this.#known.set(place, [gap])
    else if (known.some((one) => saysAll(one, gap, isPassed, from))) return true
    else known.push(gap)
    return false
  }
}

/** Whether what is found from the one gap on holds all that is from the other: fewer gaps stretched lead to more, and of what is passed the nearest says all. */
const saysAll = (one: Visited, other: Visited, isPassed: boolean, from: number): boolean =>
  one.stretches <= other.stretches &&
  one.lasts.minNs <= other.lasts.minNs &&
  (isPassed || one.lasts.maxNs >= other.lasts.maxNs) &&
  (isPassed ? one.frames >= Math.min(other.frames, from) : one.frames === other.frames)

/** Gaps in the order in which they lie back from the sample, by the least time to it; of two that are as far the first that was added. */
class NearestFirst {
  /** The nearest last. */
  readonly #gaps: Gap[] = []

  add(gap: Gap): void {
    let low = 0
    let high = this.#gaps.length
    while (low < high) {
      const middle = (low + high) >> 1
      if ((this.#gaps[middle] as Gap).lasts.minNs > gap.lasts.minNs) low = middle + 1
      else high = middle
    }
    this.#gaps.splice(low, 0, gap)
  }

  take(): Gap | undefined {
    return this.#gaps.pop()
  }
}

/** How near each code comes to a sample. */
class Nearest {
  readonly #ns = new Map<ReplyCode, number>()
  #mostNs: number | null = null

  of(code: ReplyCode): number {
    return this.#ns.get(code) ?? Infinity
  }

  keep(code: ReplyCode, ns: number): void {
    if (ns >= this.of(code)) return
    this.#ns.set(code, ns)
    this.#mostNs = null
  }

  get size(): number {
    return this.#ns.size
  }

  get mostNs(): number {
    return (this.#mostNs ??= Math.max(...this.#ns.values()))
  }
}

interface Candidate {
  readonly stood: Stood
  readonly onward: Onward | null
  readonly sinceNs: number
  /** The same, with what it stood before that, where nothing changed it. */
  readonly stoodSinceNs: number
  readonly untilNs: number
  readonly frame: number
}

/** By node: the ways that lead there. */
type WaysTo = readonly (readonly { readonly from: number; readonly way: Way }[])[]

const WAYS_TO = new WeakMap<Schedule, WaysTo>()

/** Worked out once. */
function waysTo(schedule: Schedule): WaysTo {
  const known = WAYS_TO.get(schedule)
  if (known) return known
  const to = schedule.nodes.map((): { from: number; way: Way }[] => [])
  schedule.nodes.forEach(({ next }, from) => next.forEach((way) => to[way.to]?.push({ from, way })))
  WAYS_TO.set(schedule, to)
  return to
}

class Walk {
  readonly #nodes: readonly ScheduleNode[]
  /** The ways that lead to each node. */
  readonly #to: WaysTo

  constructor(
    private readonly reach: Reach,
    private readonly asked: Asked,
    private readonly budget: WorkBudget,
  ) {
    this.#nodes = reach.steps.schedule.nodes
    this.#to = waysTo(reach.steps.schedule)
  }

  meets(at: SampleAt): SampledReply[] {
    const { uses, waits } = at.sample
    const identifies = uses.includes(IDENTIFIES)
    if (identifies) {
      const alone = this.#replies(at, NO_MEMORY, null)
      // One look at the pins: what waits in it meets what it is told by.
      return waits ? alone.map((reply) => ({ ...reply, identified: reply.code })) : alone
    }
    if (!waits) return this.#replies(at, NO_MEMORY, null)
    const { pairs } = this.reach
    const asLater = pairs.findIndex(({ later }) => later.some((one) => isSame(one, at)))
    const asFirst = pairs.findIndex(({ first }) => isSame(first, at))
    if (asLater !== -1)
      return this.#codes(asLater).flatMap((code) => this.#replies(at, memoryKey(asLater, code), code))
    if (asFirst !== -1) return this.#beforeIdentification(at, asFirst)
    return this.#replies(at, NO_MEMORY, null)
  }

  /** What the first sample of a pair can have met. */
  #codes(pair: number): ReplyCode[] {
    this.#keys ??= [
      ...new Set([...this.reach.before, ...this.reach.after].flatMap((here) => here?.keys ?? [])),
    ].sort((p, q) => p - q)
    const [first, end] = [memoryKey(pair, 0), memoryKey(pair + 1, 0)]
    return this.#keys.flatMap((key) => (key >= first && key < end ? [key - first] : []))
  }
  #keys: number[] | null = null

  /**
   * A sample that waits for an identification still to come. What it would meet if it moved is taken with everything that the
   * identification can meet: that can make a margin too small, never too large.
   */
  #beforeIdentification(at: SampleAt, pair: number): SampledReply[] {
    const identification = this.reach.pairs[pair]?.later[0]
    if (identification === undefined) return []
    const alone = this.#replies(at, NO_MEMORY, null)
    const identified = new Set<ReplyCode>()
    const met = this.#codes(pair).flatMap((code) =>
      this.#replies(identification, memoryKey(pair, code), code).flatMap((reply) => {
        if (reply.awayNs > 0) return []
        identified.add(reply.code)
        const own = alone.find((one) => one.code === code && one.awayNs === 0)
        if (own === undefined) return []
        const isExact = own.isExact && reply.isExact
        return [{ ...own, identified: reply.code, frame: reply.frame, isExact, then: reply }]
      }),
    )
    const moved = alone.filter(({ awayNs }) => awayNs > 0)
    return [
      ...met,
      ...moved.flatMap((reply) => [...identified].map((code) => ({ ...reply, identified: code }))),
    ]
  }

  #replies(at: SampleAt, key: number, identified: ReplyCode | null): SampledReply[] {
    const counted = countedAfter(at.sample, this.reach.steps.times.reply)
    const found = new Map<ReplyCode, Candidate[]>()
    const add = (candidate: Candidate): boolean => {
      const { frames } = this.asked
      if (frames && (candidate.frame < frames.from || candidate.frame > frames.to)) return false
      const { code } = candidate.stood
      const known = found.get(code)
      if (known) known.push(candidate)
      else found.set(code, [candidate])
      return true
    }
    for (const { code, all } of this.reach.after[at.node]?.by(key) ?? []) {
      this.budget.spend(all.length)
      for (const stood of all) {
        const { sinceNs, untilNs } = stood
        // What the node's write leaves as it is has stood for longer than from the node on.
        const stoodSinceNs =
          stood.standing === 0 ? Math.min(0, this.#unchangedSince(at.node, key, code)) : sinceNs
        add({ stood, onward: null, sinceNs, stoodSinceNs, untilNs, frame: stood.here.frame })
      }
    }
    this.#back(at, key, counted, found, add)
    const own = new Set<ReplyCode>()
    for (const { all } of this.reach.before[at.node]?.by(key) ?? [])
      for (const { here } of all) own.add(here.own)
    this.budget.spend(WORK.reply * found.size)
    return [...found].map(([code, candidates]) =>
      reply(
        at,
        code,
        identified,
        candidates,
        counted,
        [...own],
        replyTo(at.sample, this.reach.steps.times.reply),
        !this.asked.isMetOnly,
      ),
    )
  }

  /** Gap after gap backwards, until what is still further back is further from the sample than all that was found. */
  #back(
    at: SampleAt,
    key: number,
    counted: RangeNs,
    found: ReadonlyMap<ReplyCode, readonly Candidate[]>,
    add: (candidate: Candidate) => boolean,
  ): void {
    const first = this.#firstOf(key)
    const visits = new Visits()
    const nearest = new Nearest()
    const all = this.#allCodes(key)
    for (const [code, candidates] of found)
      for (const one of candidates) nearest.keep(code, signedNs(one, counted))
    /** What is still to be looked at, the nearest first: what is come by later is further away, and mostly says nothing new. */
    const ahead = new NearestFirst()
    const go = (gap: Gap): void => {
      const { here, fromPlace, stretches, isBeforeFirst, lasts, frames, onward } = gap
      this.budget.spend(WORK.gap)
      const before = this.reach.before[here]?.by(key)
      if (before === undefined || before.length === 0) return
      const opens = this.#nodes[here]?.phase === 0
      const after = opens ? 0 : stretches
      const most = mostStretches(this.#nodes[here])
      /** What is missing to the latest that stood here; no less is to all that stood before. */
      let missingNs = Infinity
      for (const { code, all, latestNs, latestPlaceNs } of before) {
        const leastNs = counted.minNs - ((fromPlace ? latestPlaceNs : latestNs) - lasts.minNs)
        missingNs = Math.min(missingNs, leastNs)
        // Only what is nearer than what was found is taken.
        if (leastNs > 0 && leastNs >= nearest.of(code)) continue
        this.budget.spend(all.length)
        for (const stood of all) {
          const sinceNs = (fromPlace ? stood.sincePlaceNs : stood.sinceNs) - lasts.maxNs
          const untilNs = (fromPlace ? stood.untilPlaceNs : stood.untilNs) - lasts.minNs
          // A read is stretched so often, and what the first sample of a pair met is known from its node on.
          if (after > 0 && after + stood.here.stretches > most) continue
          if (stood.here.isToCome !== isBeforeFirst) continue
          const frame = stood.here.frame + frames
          const candidate = { stood, onward, sinceNs, stoodSinceNs: sinceNs, untilNs, frame }
          const ns = signedNs(candidate, counted)
          if (ns > 0 && ns >= nearest.of(code)) continue
          if (add(candidate)) nearest.keep(code, ns)
        }
      }
      if (missingNs > 0 && this.asked.isMetOnly) return
      if (missingNs > 0 && nearest.size >= all && missingNs >= nearest.mostNs) return
      if (
        lasts.minNs > FORGET_AFTER_NS ||
        visits.isNothingNew(gap, missingNs > 0, this.asked.frames?.from ?? 0)
      )
        return
      // A read that goes round the first sample of a pair has none: what stood further back is known from that of an earlier read.
      if (first !== NONE && opens && !isBeforeFirst && first !== here) return
      for (const { from, way } of this.#to[here] ?? []) {
        const isNowBefore = isBeforeFirst || first === here
        const framesBack = frames + (this.asked.frames === null ? way.frames : Math.min(1, way.frames))
        /** Written out: this is done for every gap back from every sample, and copying an object costs more than all else of it. */
        const goBy = (by: Way, isFromPlace: boolean, more: number, ns: RangeNs): void =>
          ahead.add({
            here: from,
            fromPlace: isFromPlace,
            stretches: more,
            isBeforeFirst: isNowBefore,
            lasts: ns,
            frames: framesBack,
            onward: { way: by, then: onward },
          })
        if (way.kind === 'place') {
          const late = fromPlace ? NOTHING : way.late
          goBy(way, true, 0, sum(sum(lasts, late), way.lasts))
        } else if (fromPlace && !opens) goBy(way, true, 0, lasts)
        else {
          goBy(way, false, after, sum(lasts, way.lasts))
          if (way.stretched !== null && after < most) {
            const longer: GapWay = { ...way, lasts: way.stretched, stretched: null }
            goBy(longer, false, after + 1, sum(lasts, longer.lasts))
          }
        }
      }
    }
    ahead.add({
      here: at.node,
      fromPlace: false,
      stretches: 0,
      isBeforeFirst: false,
      lasts: NOTHING,
      frames: 0,
      onward: null,
    })
    for (let gap = ahead.take(); gap !== undefined && !this.budget.isSpent; gap = ahead.take()) go(gap)
  }

  /** Node of the first sample of the pair that a key is for. */
  #firstOf(key: number): number {
    const { pairs } = this.reach
    return key === NO_MEMORY ? NONE : (pairs[pairOf(key)]?.first.node ?? NONE)
  }

  #codesOf = new Map<number, number>()
  #allCodes(key: number): number {
    const known = this.#codesOf.get(key)
    if (known !== undefined) return known
    const codes = new Set<ReplyCode>()
    for (const here of this.reach.before) for (const { code } of here?.by(key) ?? []) codes.add(code)
    this.#codesOf.set(key, codes.size)
    return codes.size
  }

  /** Since when at the earliest a code has stood that the write of a node leaves as it is, counted from the node. */
  #unchangedSince(node: number, key: number, code: ReplyCode): number {
    const place = (node * 4096 + key) * 64 + code
    const known = this.#unchanged.get(place)
    if (known !== undefined) return known
    // Round the whole ring it has stood for ever.
    this.#unchanged.set(place, -FOR_EVER_NS)
    let sinceNs = 0
    let isFromNode = false
    const all = this.reach.before[node]?.by(key).find((one) => one.code === code)?.all ?? []
    this.budget.spend(all.length)
    for (const stood of all) {
      if (stood.untilNs < 0 || stood.here.own !== code) continue
      sinceNs = Math.min(sinceNs, stood.sinceNs)
      isFromNode ||= stood.standing === 0
    }
    for (const { from, way } of isFromNode ? (this.#to[node] ?? []) : []) {
      const before = this.#unchangedSince(from, key, code)
      const gapNs = way.kind === 'place' ? way.lasts.maxNs + way.late.maxNs : longest(way).maxNs
      if (before < 0) sinceNs = Math.min(sinceNs, Math.max(-FOR_EVER_NS, before - gapNs))
    }
    this.#unchanged.set(place, sinceNs)
    return sinceNs
  }
  readonly #unchanged = new Map<number, number>()
}

const NOTHING: RangeNs = { minNs: 0, maxNs: 0 }

const sum = (one: RangeNs, other: RangeNs): RangeNs => ({
  minNs: one.minNs + other.minNs,
  maxNs: one.maxNs + other.maxNs,
})

const longest = (way: GapWay): RangeNs => ({
  minNs: way.lasts.minNs,
  maxNs: Math.max(way.lasts.maxNs, way.stretched?.maxNs ?? 0),
})

const isSame = (one: SampleAt, other: SampleAt): boolean =>
  one.node === other.node && one.sample === other.sample

/** Above 0: what is missing for a sample to meet it. Otherwise how deep inside it can be, below 0. */
const signedNs = (
  { sinceNs, untilNs }: Pick<Candidate, 'sinceNs' | 'untilNs'>,
  { minNs, maxNs }: RangeNs,
): number => Math.max(minNs - untilNs, sinceNs - maxNs)

function reply(
  at: SampleAt,
  code: ReplyCode,
  identified: ReplyCode | null,
  candidates: readonly Candidate[],
  counted: RangeNs,
  own: readonly ReplyCode[],
  replies: RangeNs,
  isShown: boolean,
): SampledReply {
  let nearest = candidates[0] as Candidate
  let awayNs = Infinity
  let insideNs = 0
  for (const candidate of candidates) {
    const ns = signedNs(candidate, counted)
    insideNs = Math.max(
      insideNs,
      Math.min(candidate.untilNs - counted.minNs, counted.maxNs - candidate.stoodSinceNs),
    )
    const isSooner = ns <= 0 && awayNs === 0 && isEarlier(candidate, nearest)
    if (Math.max(0, ns) < awayNs || isSooner) {
      nearest = candidate
      awayNs = Math.max(0, ns)
    }
  }
  const { stood, onward, sinceNs, untilNs, frame } = nearest
  const { after } = at.sample
  const isBefore = untilNs <= 0
  return {
    node: at.node,
    sample: at.sample,
    code,
    rises: stood.rises,
    identified,
    awayNs,
    insideNs: Math.min(FORGET_AFTER_NS, insideNs),
    untilNs: untilNs >= FOR_EVER_NS / 2 ? null : untilNs - counted.minNs,
    own: !isBefore ? [] : onward === null ? [stood.here.own] : own,
    frame,
    afterEdge: {
      minNs: Math.min(after.maxNs, Math.max(after.minNs, sinceNs + replies.minNs)),
      maxNs: Math.max(after.minNs, Math.min(after.maxNs, untilNs + replies.maxNs)),
    },
    isExact: stood.here.isExact,
    found: isShown && awayNs === 0 ? { stood, ways: waysOf(onward) } : null,
    then: null,
  }
}

const isEarlier = (one: Candidate, other: Candidate): boolean =>
  one.frame < other.frame ||
  (one.frame === other.frame && one.stood.here.isExact && !other.stood.here.isExact)
