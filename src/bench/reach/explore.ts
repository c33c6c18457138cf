import { firstWay } from '../../title/schedule.ts'
import type { Schedule, Way } from '../../title/schedule.ts'
import type { Box } from '../box.ts'
import { WORK, WorkBudget } from '../work-budget.ts'
import { Zone } from '../zone.ts'
import { NONE, codeOf } from './counting.ts'
import type { Standing } from './counting.ts'
import { pairsOf } from './pairs.ts'
import type { Pair } from './pairs.ts'
import type { ChartShape } from './shape.ts'
import { EDGE, HeldStates, KnownStates, PLACE } from './state.ts'
import type { Memory, ReachState, Step, StepMeeting } from './state.ts'
import { FOR_EVER_NS, Steps, mostStretches } from './steps.ts'
import type { Arrival } from './steps.ts'
import { NO_MEMORY, StoodHere, memoryKey } from './stood.ts'
import type { FoundHere } from './stood.ts'

/**
 * A title in front of a counter, over all timings of a box at once and over all frames.
 *
 * A reply time is a sample earlier: replies are shown in the order in which they were counted, and each takes a time of its own, so a
 * sample at `s` can meet a code exactly if the pad's count stood at it at some instant from `s - slowest` to `s - quickest`. So
 * replies are no part of a state. Samples are none either: nothing that comes depends on them. What is left are the instant of the
 * node, the place of its read, and what comes by itself: an idle reset, and the rise of a released line.
 */

/** What was counted before the first read. */
export interface Start {
  /** Row of the chart that answers. */
  readonly row: number
  /** Whether an idle reset is still to come, at any time up to its longest. */
  readonly isResetDue: boolean
}

export const POWER_ON: Start = { row: 0, isResetDue: false }

/** Where states are followed: what it takes to take one of their steps again. */
export interface Terrain {
  readonly steps: Steps
  readonly pairs: readonly Pair[]
}

export const terrainOf = (schedule: Schedule, shape: ChartShape, times: Box): Terrain => ({
  steps: new Steps(schedule, shape, times),
  pairs: pairsOf(schedule, times.reply),
})

export interface Reach extends Terrain {
  /** What stood in the gap that ends at a node, by the node's index; nothing for one that was not reached. */
  readonly before: readonly (StoodHere | undefined)[]
  /** What stands from a node on while the title does nothing; only where it samples. */
  readonly after: readonly (StoodHere | undefined)[]
  /** All states that are known by now. */
  readonly held: () => HeldStates
  readonly isExact: boolean
  /** Whether what was taken together can hang on by how much a reset is in doubt. */
  readonly hangsOnDoubt: boolean
  /** So many frames from the first on were followed whole; infinite where all were, and less where the budget ended first. */
  readonly wholeFrames: number
  /** States that were followed. */
  readonly count: number
}

/** Past so many states, or so many frames, those of one kind are taken together, so that there is an end. */
export interface ReachLimits {
  readonly states: number
  readonly frames: number
}
const LIMITS: ReachLimits = { states: 50_000, frames: 20_000 }

export const explore = (
  schedule: Schedule,
  shape: ChartShape,
  times: Box,
  starts: readonly Start[] = [POWER_ON],
  budget = new WorkBudget(),
  limits: ReachLimits = LIMITS,
): Reach => new Explorer(new Steps(schedule, shape, times), limits, budget).run(starts)

/** One frame after another from these starts on, none of what was known in an earlier one left out. */
export class FrameByFrame {
  readonly #explorer: Explorer
  /** States with which the frame begins that comes next. */
  states: readonly ReachState[]

  constructor(
    schedule: Schedule,
    shape: ChartShape,
    times: Box,
    starts: readonly Start[],
    budget = new WorkBudget(),
  ) {
    this.#explorer = new Explorer(new Steps(schedule, shape, times), LIMITS, budget, true)
    this.states = this.#explorer.begin(starts)
  }

  /** All that was found up to now. */
  get reach(): Reach {
    return this.#explorer.reach
  }

  next(): void {
    this.states = this.#explorer.frame(this.states)
  }
}

/** By node; what is never reached has none, as making them for all took longer than following a frame. */
type ByNode<T> = (T | undefined)[]

class Explorer {
  #known: ByNode<KnownStates> = []
  /** Those of the next frame, where one is followed at a time. */
  #next: ByNode<KnownStates> | null = null
  readonly #before: ByNode<StoodHere> = []
  readonly #after: ByNode<StoodHere> = []
  readonly #pairs: readonly Pair[]
  /** Where arrivals lead. */
  readonly #onward: Onward
  #count = 0
  #isExact = true
  #hangsOnDoubt = false
  #wholeFrames = 0

  constructor(
    private readonly steps: Steps,
    private readonly limits: ReachLimits,
    private readonly budget: WorkBudget,
    private readonly everyFrame = false,
  ) {
    this.#pairs = pairsOf(steps.schedule, steps.times.reply)
    this.#onward = {
      steps,
      isByTurns: everyFrame,
      stoodAt: (node) => this.#stoodAt(this.#before, node),
      add: (state) => this.#add(state),
    }
  }

  #stoodAt(of: ByNode<StoodHere>, node: number): StoodHere {
    return (of[node] ??= new StoodHere(this.budget, this.everyFrame))
  }

  run(starts: readonly Start[]): Reach {
    this.#start(starts)
    while (this.#goOn()) {
      if (this.budget.isSpent) return this.reach
      if (this.#wholeFrames++ > this.limits.frames) this.#isExact = false
    }
    this.#wholeFrames = Infinity
    return this.reach
  }

  get reach(): Reach {
    return {
      steps: this.steps,
      pairs: this.#pairs,
      before: this.#before,
      after: this.#after,
      held: () => new HeldStates(this.#known),
      isExact: this.#isExact,
      hangsOnDoubt: this.#hangsOnDoubt,
      wholeFrames: this.#wholeFrames,
      count: this.#count,
    }
  }

  /** @returns the states at the first node */
  begin(starts: readonly Start[]): ReachState[] {
    this.#start(starts)
    return [...(this.#known[0]?.takeFresh() ?? [])]
  }

  /** One frame from states with which it begins. @returns those with which the next one does */
  frame(states: readonly ReachState[]): ReachState[] {
    const next: ByNode<KnownStates> = []
    this.#next = next
    this.#known = []
    for (const state of states) this.#go(state)
    // Within a frame every way leads to a later node.
    this.#goOn()
    return next.flatMap((known) => known?.takeFresh() ?? [])
  }

  #start(starts: readonly Start[]): void {
    for (const start of starts)
      this.#take(startState(start, this.steps), firstWay(this.steps.schedule), 0, false)
  }

  /** One more frame. @returns whether anything came that was not known */
  #goOn(): boolean {
    let isNew = false
    for (let node = 0; node < this.#known.length; node++)
      for (const state of this.#known[node]?.takeFresh() ?? []) {
        isNew = true
        this.#go(state)
      }
    return isNew
  }

  #go(state: ReachState): void {
    if (this.budget.isSpent) return
    this.#wait(state)
    const node = this.steps.node(state.node)
    const most = mostStretches(node)
    node.next.forEach((way, k) => {
      this.#take(state, way, k, false)
      if (way.kind === 'gap' && way.stretched !== null && state.stretches < most)
        this.#take(state, way, k, true)
    })
  }

  /** What stands while the title does nothing more. */
  #wait(state: ReachState): void {
    const { samples } = this.steps.node(state.node)
    if (samples.length === 0) return
    const here = this.#stoodAt(this.#after, state.node)
    const { memory, frame, isExact } = state
    const found: Omit<FoundHere, 'step'> = {
      own: codeOf(state),
      isExact: isExact && this.#isExact,
      isToCome: false,
      stretches: state.stretches,
      frame,
      state,
    }
    const known = memory === null ? NO_MEMORY : memoryKey(memory.pair, memory.code)
    this.steps.waiting(state).forEach((arrival, passage) => {
      const step: Step = { way: NONE, isStretched: false, passage, meets: null }
      const stand = (key: number, zone: Zone, from: number, meets: Step['meets']): void => {
        const foundHere = { ...found, step: meets === null ? step : { ...step, meets } }
        for (let s = from; s < arrival.stood.length; s++) note(here, key, zone, arrival, s, EDGE, foundHere)
      }
      if (memory === null || memory.met === NONE) stand(known, arrival.zone, 0, null)
      if (memory !== null) return
      this.#pairs.forEach((pair, p) => {
        if (pair.first.node !== state.node || !pair.later.some(({ node }) => node === state.node)) return
        arrival.stood.forEach((one, s) => {
          const meeting = this.steps.meeting(arrival, one)
          if (meeting === null || !this.steps.fix(meeting.zone, meeting.met, EDGE, pair.first.sample)) return
          stand(memoryKey(p, one.code), meeting.zone, s, { pair: p, standing: s, at: 'left' })
        })
      })
    })
  }

  #take(state: ReachState, way: Way, k: number, isStretched: boolean): void {
    this.steps.along(state, way, isStretched).forEach((arrival, passage) => {
      this.budget.spend(WORK.arrival)
      const step: Step = { way: k, isStretched, passage, meets: null }
      const arrive = new Arriving(this.#onward, this.#isExact && state.isExact, state, way, step, arrival)
      const { memory } = state
      if (memory !== null) this.#remember(memory, way, arrive)
      else {
        arrive.stand(arrival.zone, NO_MEMORY, 0, null, false)
        this.#pairs.forEach((pair, p) => this.#meet(state, pair, p, way, arrive))
        // Last: it lets the zone grow.
        arrive.goOn(arrival.zone, null, null)
      }
    })
  }

  /** The first sample of a pair meets something on this way. */
  #meet(state: ReachState, pair: Pair, p: number, way: Way, arrive: Arriving): void {
    const { arrival } = arrive
    const { node, sample } = pair.first
    const each = (at: StepMeeting['at'], edge: number): void =>
      arrival.stood.forEach((one, standing) => {
        const meeting = this.steps.meeting(arrival, one)
        if (meeting === null) return
        const { zone, met } = meeting
        if (edge !== NONE && !this.steps.fix(zone, met, edge, sample)) return
        const isToCome = edge === NONE
        if (isToCome && !reaches(pair, way, arrival, zone, met)) return
        const meets = { pair: p, standing, at }
        arrive.stand(zone, memoryKey(p, one.code), standing, meets, isToCome)
        if (isToCome) arrive.goOn(zone, { pair: p, code: one.code, met }, meets)
        else if (isNeeded(pair, way, at === 'reached', this.steps))
          arrive.goOn(zone, { pair: p, code: one.code, met: NONE }, meets)
      })
    if (state.node === node) each('left', EDGE)
    if (!pair.open.has(way.to)) return
    if (way.to === node) each('reached', arrival.at)
    if (way.to !== node || pair.opensAround) each('to-come', NONE)
  }

  /** It has met something before, which stays known as long as a later sample hangs on it. */
  #remember(memory: Memory, way: Way, arrive: Arriving): void {
    const pair = this.#pairs[memory.pair] as Pair
    const { zone, at } = arrive.arrival
    const key = memoryKey(memory.pair, memory.code)
    const isReached = way.to === pair.first.node
    const keep = (one: Zone, isFirst: boolean): void => {
      if (!isNeeded(pair, way, isFirst, this.steps)) return
      arrive.stand(one, key, 0, null, false)
      arrive.goOn(one, { ...memory, met: NONE }, null)
    }
    if (memory.met === NONE) {
      keep(zone, false)
      return
    }
    if (isReached) {
      const fixed = zone.copy()
      if (this.steps.fix(fixed, memory.met, at, pair.first.sample)) keep(fixed, true)
    }
    if (isReached && !pair.opensAround) return
    if (!reaches(pair, way, arrive.arrival, zone, memory.met)) return
    arrive.stand(zone, key, 0, null, true)
    arrive.goOn(zone, memory, null)
  }

  #add(state: ReachState): void {
    if (++this.#count > this.limits.states) this.#isExact = false
    const isLater = this.#next !== null && state.frame > (state.origin?.state.frame ?? 0)
    const all = isLater && this.#next ? this.#next : this.#known
    const known = (all[state.node] ??= new KnownStates(this.budget))
    if (this.#isExact) {
      known.add(state)
      this.#hangsOnDoubt ||= known.hangsOnDoubt
    } else {
      this.#hangsOnDoubt = true
      // Taken together, a read can always be held up once more.
      const more = { ...state, stretches: 0 }
      const others = known.like(more)
      if (others.some(({ zone }) => more.zone.isWithin(zone))) return
      known.replace(everything(more, others, this.steps.times))
    }
  }
}

/** Whether a later sample of the pair is at the node that a way leads to, or still to come in the read. */
const isNeeded = ({ needed }: Pair, { to }: Way, isFirst: boolean, steps: Steps): boolean =>
  needed.has(to) && (isFirst || steps.node(to).phase > 0)

/** Keeps the times at which what the first sample of a pair met is not too long ago for it yet. @returns whether there are any */
function reaches({ open }: Pair, { to }: Way, { at }: Arrival, zone: Zone, met: number): boolean {
  const mostNs = open.get(to)
  return mostNs !== undefined && zone.bound(at, met, mostNs)
}

/** Where arrivals lead. */
interface Onward {
  readonly steps: Steps
  /** Whether frames without a read in them are not counted. */
  readonly isByTurns: boolean
  /** What stood before a node. */
  readonly stoodAt: (node: number) => StoodHere
  readonly add: (state: ReachState) => void
}

/** What one order on one way leads to. */
class Arriving {
  readonly #frame: number

  constructor(
    private readonly onward: Onward,
    private readonly isExact: boolean,
    private readonly state: ReachState,
    private readonly way: Way,
    private readonly step: Step,
    readonly arrival: Arrival,
  ) {
    this.#frame = state.frame + (onward.isByTurns ? Math.min(1, way.frames) : way.frames)
  }

  /** Notes what stood in the gap, from one standing on. */
  stand(zone: Zone, key: number, from: number, meets: Step['meets'], isToCome: boolean): void {
    const { arrival, state, way } = this
    const found: FoundHere = {
      own: this.onward.steps.own(arrival, way.to),
      // How late the first sample is does not narrow yet what stood.
      isExact: this.isExact && !isToCome,
      isToCome,
      stretches: state.stretches + (this.step.isStretched ? 1 : 0),
      frame: this.#frame,
      state,
      step: this.#stepThat(meets),
    }
    const here = this.onward.stoodAt(way.to)
    for (let s = from; s < arrival.stood.length; s++) note(here, key, zone, arrival, s, arrival.at, found)
  }

  goOn(zone: Zone, memory: Memory | null, meets: Step['meets']): void {
    const { state, way } = this
    const { steps, add } = this.onward
    const arrived = steps.arrived(this.arrival, zone, way.to, memory === null ? NONE : memory.met)
    const isSameRead = way.kind === 'gap' && steps.node(way.to).phase > 0
    add({
      zone: arrived.zone,
      row: arrived.row,
      rises: arrived.rises,
      isHigh: arrived.isHigh,
      reset: arrived.reset,
      rising: arrived.rising,
      node: way.to,
      stretches: isSameRead ? state.stretches + (this.step.isStretched ? 1 : 0) : 0,
      memory: memory === null ? null : { pair: memory.pair, code: memory.code, met: arrived.met },
      frame: this.#frame,
      isExact: this.isExact,
      origin: { state, step: this.#stepThat(meets) },
      parts: null,
    })
  }

  #stepThat(meets: Step['meets']): Step {
    return meets === null ? this.step : { ...this.step, meets }
  }
}

/** Notes since when and until when a standing can have been, counted from an instant and from the place of its read. */
function note(
  here: StoodHere,
  key: number,
  zone: Zone,
  { stood, place }: Arrival,
  standing: number,
  at: number,
  foundHere: FoundHere,
): void {
  const { code, rises, from, until } = stood[standing] as Standing
  here.add(key, {
    here: foundHere,
    code,
    rises,
    sinceNs: from === NONE ? -FOR_EVER_NS : zone.least(from, at),
    untilNs: until === NONE ? FOR_EVER_NS : zone.most(until, at),
    sincePlaceNs: from === NONE ? -FOR_EVER_NS : zone.least(from, place),
    untilPlaceNs: until === NONE ? FOR_EVER_NS : zone.most(until, place),
    standing,
  })
}

/** At the place of the first read, before anything of it. */
export function startState({ row, isResetDue }: Start, { schedule, times }: Steps): ReachState {
  const zone = new Zone()
  zone.origin()
  zone.after(PLACE, 0, 0)
  const reset = isResetDue ? zone.after(PLACE, 0, times.idleReset.maxNs) : NONE
  return {
    zone,
    row,
    rises: row,
    isHigh: schedule.idleLevel === 'high',
    reset,
    rising: NONE,
    node: NONE,
    stretches: 0,
    memory: null,
    frame: 0,
    isExact: true,
    origin: null,
    parts: null,
  }
}

/** A state that holds it and all that are like it, and all that may still come of its kind: bounds that were moving are let go. */
function everything(state: ReachState, others: readonly ReachState[], { idleReset, rise }: Box): ReachState {
  const { reset, rising, memory } = state
  const zone = new Zone()
  zone.origin()
  const mostNs = Math.max(...[state, ...others].map((one) => one.zone.most(EDGE, PLACE)))
  const leastNs = Math.min(...[state, ...others].map((one) => one.zone.least(EDGE, PLACE)))
  zone.after(PLACE, leastNs, mostNs)
  if (reset !== NONE) zone.after(EDGE, 0, idleReset.maxNs)
  if (rising !== NONE) zone.after(EDGE, 0, rise?.maxNs ?? 0)
  if (memory !== null && memory.met !== NONE) zone.after(EDGE, -FOR_EVER_NS, 0)
  return { ...state, zone, isExact: false, parts: null }
}
