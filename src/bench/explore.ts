import type { Chart } from '../port/chart.ts'
import type { Level } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'
import type { Box, RangeNs } from './box.ts'
import { IDENTIFIES, stepsOf } from './steps.ts'
import type { Step } from './steps.ts'
import { keepNearest, KnownStates, NONE, OVER, State } from './state.ts'
import type { Past, ReplyFrom } from './state.ts'
import { Zone } from './zone.ts'

/**
 * A title in front of a counter, over all timings of a box at once. Where the order of two events depends on the timing, both orders
 * are followed, each with what it says of the times; so what comes out is every way in which a read can go, and nothing else.
 * The cells of the chart play no part here, only its length and what comes after the last cycle.
 */

/** What the pins answer with: `2 × rises + 1` at high, `2 × rises` at low. */
export type ReplyCode = number

export const risesOf = (code: ReplyCode): number => code >> 1
export const levelOf = (code: ReplyCode): Level => (code & 1 ? 'high' : 'low')

/** Another reply than the one that a sample meets, and how far the sample is from it. */
export interface Neighbour {
  readonly code: ReplyCode
  /** The least time by which the sample, or what select did before it, would have to move. Above 0, or 0 at a tie. */
  readonly awayNs: number
  /** Whether it is the reply to the edge that opened the phase of the sample, still to come. */
  readonly isOwn: boolean
}

/** What a sample of the pins meets, the first time that it meets this. */
export interface SampledReply {
  /** From 0, counted from power-on. */
  readonly frame: number
  /** Within the frame, from 0. */
  readonly read: number
  /** Phase of the read, from 0. */
  readonly phase: number
  readonly code: ReplyCode
  /** What the identification met in the same read; `null` where that does not matter to any sample of this phase. */
  readonly identified: ReplyCode | null
  readonly neighbours: readonly Neighbour[]
  /** From the first phase of the read to the sample. */
  readonly inRead: RangeNs
  /** From the edge that opens the phase to the sample. */
  readonly afterEdge: RangeNs
  /** How deep inside this reply the sample can be: the most by which both its ends are away, and 250 ms at the most. */
  readonly insideNs: number
  /** The most by which the next reply can still be away; `null` where none is to come. */
  readonly untilNs: number | null
  /** Leads to this sample, and on to the identification where that comes later in the read. */
  readonly trail: Trail | null
  /** Whether it surely does; where states were united on the way, it leads to a part of what came after. */
  readonly isTrailSure: boolean
}

/** One choice between two orders after another, the latest first; it leads the same way again. */
export interface Trail {
  readonly choice: number
  readonly before: Trail | null
}

/** An order that no timing of the box turns round, and by how much one of its times would have to move for that. */
export interface Turn {
  readonly of: 'idleReset' | 'rise'
  /** How much sooner, below 0, or later the time would have to be. */
  readonly byNs: number
}

export interface Exploration {
  /** Everything that samples can meet. */
  readonly samples: readonly SampledReply[]
  readonly turns: readonly Turn[]
}

export type ChartShape = Pick<Chart, 'after'> & { readonly cycles: { readonly length: number } }

/** What is written down while one timing is followed to the end; see `witness.ts`. Instants are those of the zone. */
export interface Recorder {
  readonly choices: readonly number[]
  next: number
  read(place: number, start: number): void
  write(at: number, level: Level, phase: number): void
  /** The release that was just written has the line risen then, unless a fall comes before it. */
  rises(at: number): void
  /** What the pad counts, and from when the pins show it. */
  counts(what: 'rise' | 'fall' | 'reset', at: number, shows: number, code: ReplyCode): void
  /** The idle reset that the rise just counted would have if no other came before it. */
  arms(reset: number): void
  sample(at: number, phase: number, from: number, until: number): void
}

/** So many states at once are followed without looking for any that say the same. */
const FEW = 4
/** So many are told apart whatever differs. */
const MANY = 128
/** Past any idle reset that a profile can ask for, and any margin that anybody waits for. */
const FORGET_AFTER_NS = 250_000_000

/** A sample while more is learnt of it. */
interface GrowingSample extends SampledReply {
  readonly neighbours: Neighbour[]
  insideNs: number
}

class Explorer {
  readonly #steps: readonly Step[]
  /** Phase of the identification; -1 where there is none. */
  readonly #identifiedIn: number
  /** The last phase with a sample, and the last with one that waits for what the identification meets. */
  readonly #lastSample: number
  /** From one read to the next at the most. */
  readonly #longestNs: number
  readonly #lastWait: number
  readonly #samples = new Map<number, GrowingSample>()
  readonly #turns = new Map<number, Turn>()
  #frame = 0
  #read = 0
  /** From where there are `many` states on, they are united and their past is told by its times alone. */
  #areMany = false

  constructor(
    private readonly title: Title,
    private readonly shape: ChartShape,
    private readonly box: Box,
    private readonly recorder: Recorder | null = null,
    private readonly many = MANY,
  ) {
    this.#steps = stepsOf(title)
    this.#identifiedIn = this.#steps.findIndex(({ samples }) => samples.includes(IDENTIFIES))
    this.#longestNs = Math.max(...box.toNextRead.map(({ maxNs }) => maxNs))
    this.#lastSample = this.#steps.findLastIndex(({ samples }) => samples.length > 0)
    this.#lastWait = this.#steps.findLastIndex(({ waits }) => waits)
  }

  /** @param mostStates more of them are not followed; `null` says so */
  all(mostStates: number): Exploration | null {
    let count = 0
    const met = this.title.readOffsetsNs.map(() => new KnownStates())
    let states = [this.#powerOn()]
    while (states.length > 0) {
      count += states.length
      if (count > mostStates) return null
      this.#areMany ||= states.length > this.many
      const together = this.#areMany ? [states] : states.map((state) => [state])
      const known = met[this.#read] as KnownStates
      for (const end of together.flatMap((starts) => this.#go(starts)))
        known.add(this.#goOn(end), this.#areMany)
      states = known.fresh().map((state) => state.copy())
      this.#count()
    }
    return { samples: [...this.#samples.values()], turns: [...this.#turns.values()] }
  }

  #count(): void {
    this.#read = (this.#read + 1) % this.title.readOffsetsNs.length
    if (this.#read === 0) this.#frame++
  }

  /** Follows one trail through so many reads without forgetting anything; the recorder is told. @returns the zone of all instants */
  follow(reads: number): Zone {
    let state = this.#powerOn()
    for (let at = 0; ; at++) {
      const [end, ...others] = this.#go([state])
      if (end === undefined || others.length > 0) throw new Error('a trail leads one way')
      if (at + 1 === reads) return end.zone
      state = this.#goOn(end)
      this.#count()
    }
  }

  #powerOn(): State {
    const zone = new Zone()
    zone.origin()
    const state = new State(zone, this.title.rest === 'high')
    state.shown.push({ code: state.code, from: OVER, phase: NONE })
    return state
  }

  /** From the place of a read to that of the next. */
  #goOn(state: State): State {
    const { minNs, maxNs } = this.box.toNextRead[this.#read] as RangeNs
    const place = state.zone.after(state.edge, minNs, maxNs)
    const next = this.#forget(state, [place])
    next.edge = this.recorder ? place : 0
    next.shown = next.shown.map(({ code, from }) => ({ code, from, phase: NONE }))
    next.identified = null
    return next
  }

  /**
   * The state with these instants alone, the last of them now, and those that what comes can depend on.
   *
   * @param overNs the most by which a reply comes after now that no sample meets the one before it any more
   */
  #forget(state: State, instants: number[], overNs = 0): State {
    const { zone, shown } = state
    const now = instants[instants.length - 1] as number
    let { seen } = state
    const isOver = ({ from }: ReplyFrom): boolean => from === OVER || zone.most(from, now) <= overNs
    while (seen + 1 < shown.length && isOver(shown[seen + 1] as ReplyFrom)) seen++
    const keep = (instant: number): number => {
      if (instant === NONE || this.recorder) return instant
      return instants.push(instant) - 1
    }
    const next = state.bare()
    next.reset = keep(state.reset)
    next.rising = keep(state.rising)
    const first = this.#areMany ? seen : Math.max(0, seen - 2)
    if (this.#areMany) next.past = pastAt(state, seen, now, instants.indexOf(now), this.#longestNs)
    next.shown = shown.slice(first).map(({ code, from, phase }, k) => {
      const isOld = from === OVER || (this.#areMany && k === 0) || zone.least(now, from) > FORGET_AFTER_NS
      return { code, from: isOld ? OVER : keep(from), phase }
    })
    next.seen = seen - first
    if (!this.recorder) next.zone = zone.of(instants)
    return next
  }

  /** One read from its place on. All states that come out have its place as their latest edge again. */
  #go(starts: readonly State[]): State[] {
    for (const start of starts) this.#open(start)
    let states = [...starts]
    this.#steps.forEach(({ writes, samples }, phase) => {
      const { minNs, maxNs } = this.box.edgeSpacing
      this.#areMany ||= states.length > this.many
      if (states.length > FEW && !this.#areMany) states = this.#merge(states, phase)
      if (phase > 0) for (const state of states) state.edge = state.zone.after(state.edge, minNs, maxNs)
      // Now more of it is over.
      if (this.#areMany) states = this.#merge(states, phase)
      if (writes !== null) states = each(states, (state) => this.#write(state, writes, phase))
      if (samples.length > 0) states = each(states, (state) => this.#sample(state, phase))
    })
    for (const state of states) state.edge = state.place
    return states
  }

  #open(start: State): void {
    const place = start.edge
    start.edge = start.zone.after(place, this.box.readStart.minNs, this.box.readStart.maxNs)
    start.place = place
    start.readStart = start.edge
    this.recorder?.read(place, start.edge)
  }

  /** Takes out states from which nothing can come that does not come from another one, too. */
  #merge(states: readonly State[], phase: number): State[] {
    const met = new KnownStates()
    const isSampled = !this.#areMany || phase <= this.#lastSample
    // A sample at the very instant of the edge can still meet what ends there.
    const overNs = this.box.sample.minNs > 0 || this.#steps[phase]?.samples.length === 0 ? 0 : -1
    for (const state of states) {
      const { place, readStart, edge } = state
      const next = this.#forget(state, isSampled ? [place, readStart, edge] : [place, edge], overNs)
      next.place = 0
      next.readStart = isSampled ? 1 : 0
      next.edge = isSampled ? 2 : 1
      if (this.#areMany && phase > this.#lastWait) next.identified = null
      met.add(next, this.#areMany)
    }
    return [...met.states]
  }

  #write(state: State, level: Level, phase: number): State[] {
    this.recorder?.write(state.edge, level, phase)
    if (level === 'low') return this.#fall(state, phase)
    if (this.box.rise === null) return this.#rise(state, state.edge, phase)
    state.rising = state.zone.after(state.edge, this.box.rise.minNs, this.box.rise.maxNs)
    this.recorder?.rises(state.rising)
    return [state]
  }

  #fall(state: State, phase: number): State[] {
    return each(this.#endRising(state), (risen) =>
      each(this.#resetBy(risen, risen.edge), (fallen) => {
        if (!fallen.high) return [fallen]
        fallen.high = false
        this.#show(fallen, 'fall', fallen.edge, phase)
        return [fallen]
      }),
    )
  }

  /** A released line rises before the fall that comes now, or never does; a fall at the very instant of the rise comes first. */
  #endRising(state: State): State[] {
    if (state.rising === NONE) return [state]
    const [risen, lost] = this.#either(state, state.rising, state.edge, -1, 'rise')
    const states = risen ? this.#risen(risen) : []
    if (lost) {
      lost.rising = NONE
      states.push(lost)
    }
    return states
  }

  #risen(state: State): State[] {
    const at = state.rising
    state.rising = NONE
    return this.#rise(state, at, NONE)
  }

  #rise(state: State, at: number, phase: number): State[] {
    if (state.high) return [state]
    return each(this.#resetBy(state, at), (risen) => {
      risen.rises = this.#normal(risen.rises + 1)
      risen.high = true
      this.#show(risen, 'rise', at, phase)
      risen.reset = risen.zone.after(at, this.box.idleReset.minNs, this.box.idleReset.maxNs)
      this.recorder?.arms(risen.reset)
      return [risen]
    })
  }

  /** The idle reset comes by this instant, or it does not. */
  #resetBy(state: State, by: number): State[] {
    if (state.reset === NONE) return [state]
    const [reset, waiting] = this.#either(state, state.reset, by, 0, 'idleReset')
    const states: State[] = []
    if (waiting) states.push(waiting)
    if (reset) {
      const at = reset.reset
      reset.reset = NONE
      reset.rises = 0
      this.#show(reset, 'reset', at, NONE)
      states.push(reset)
    }
    return states
  }

  /** What the pad counts reaches the pins after the reply time, in the order in which it was counted. */
  #show(state: State, what: 'rise' | 'fall' | 'reset', at: number, phase: number): void {
    const { zone, shown } = state
    const from = zone.after(at, this.box.reply.minNs, this.box.reply.maxNs)
    const last = shown[shown.length - 1] as ReplyFrom
    if (last.from !== OVER) zone.bound(last.from, from, 0)
    shown.push({ code: state.code, from, phase })
    this.recorder?.counts(what, at, from, state.code)
  }

  #sample(state: State, phase: number): State[] {
    const { zone, edge } = state
    const at = zone.after(edge, this.box.sample.minNs, this.box.sample.maxNs)
    return each(this.#countUntil(state, at), (counted) => this.#see(counted, at, phase))
  }

  /** Counts what comes by itself, a rise of a released line and a reset, where the pins could show it by `at`. */
  #countUntil(state: State, at: number): State[] {
    const couldShow = (instant: number) =>
      instant !== NONE && state.zone.canBeWithin(instant, at, -this.box.reply.minNs)
    if (couldShow(state.rising)) {
      const [risen, waiting] = this.#either(state, state.rising, at, 0, 'rise')
      return [
        ...(waiting ? this.#resetUntil(waiting, at) : []),
        ...(risen ? each(this.#risen(risen), (counted) => this.#countUntil(counted, at)) : []),
      ]
    }
    return this.#resetUntil(state, at)
  }

  #resetUntil(state: State, at: number): State[] {
    const couldShow = state.reset !== NONE && state.zone.canBeWithin(state.reset, at, -this.box.reply.minNs)
    return couldShow ? this.#resetBy(state, at) : [state]
  }

  /** The sample meets one reply of those that can stand at its instant; at a tie it may meet either. */
  #see(state: State, at: number, phase: number): State[] {
    const { zone, shown } = state
    const can: number[] = []
    for (let k = state.seen; k < shown.length; k++) {
      const { from } = shown[k] as ReplyFrom
      if (from !== OVER && !zone.canBeWithin(from, at, 0)) break
      const until = shown[k + 1]?.from ?? NONE
      if (until === NONE || zone.canBeWithin(at, until, 0)) can.push(k)
    }
    if (can.length < 2) return can.length === 0 ? [] : this.#seeing(state, can[0] as number, at, phase)
    const choice = this.#recorded()
    if (typeof choice === 'number') {
      state.trail = { choice, before: state.trail }
      return this.#seeing(state, can[choice] as number, at, phase)
    }
    const found: State[] = []
    for (const [number, k] of can.entries()) {
      const one = state.copy()
      one.trail = { choice: number, before: state.trail }
      found.push(...this.#seeing(one, k, at, phase))
      if (choice === 'any' && found.length > 0) break
    }
    return found
  }

  /** The sample meets reply `k` of those shown; no state where it cannot. */
  #seeing(state: State, k: number, at: number, phase: number): State[] {
    const { zone, shown } = state
    const from = (shown[k] as ReplyFrom).from
    const until = shown[k + 1]?.from ?? NONE
    if (from !== OVER && !zone.bound(from, at, 0)) return []
    if (until !== NONE && !zone.bound(at, until, 0)) return []
    state.seen = k
    this.#meets(state, this.#sampledReply(state, at, phase))
    if (this.recorder) this.recorder.sample(at, phase, from, until)
    else zone.forgetLast(at)
    return [state]
  }

  /** Keeps what a sample meets, once it is known what the identification of its read has met, where that matters. */
  #meets(state: State, sample: SampledReply): void {
    if (sample.phase === this.#identifiedIn) {
      state.identified = sample.code
      for (const earlier of state.waiting)
        this.#keep({
          ...earlier,
          identified: sample.code,
          trail: state.trail,
          isTrailSure: sample.isTrailSure,
        })
      state.waiting = []
    }
    const { waits } = this.#steps[sample.phase] as Step
    if (!waits || this.#identifiedIn === NONE) this.#keep(sample)
    else if (sample.phase < this.#identifiedIn) state.waiting.push(sample)
    else this.#keep({ ...sample, identified: state.identified })
  }

  #keep(sample: SampledReply): void {
    const key = (sample.phase * 128 + sample.code) * 128 + (sample.identified ?? 127)
    const known = this.#samples.get(key)
    const kept = known ?? { ...sample, neighbours: [] }
    for (const neighbour of sample.neighbours) keepNearest(kept.neighbours, neighbour)
    if (known === undefined) this.#samples.set(key, kept)
    else known.insideNs = Math.max(known.insideNs, sample.insideNs)
  }

  #sampledReply(state: State, at: number, phase: number): SampledReply {
    const { zone, shown, seen, past, readStart, edge } = state
    const neighbours: Neighbour[] = []
    for (let k = seen; k > 0; k--) {
      const { from } = shown[k] as ReplyFrom
      if (from === OVER) break
      neighbours.push({ code: (shown[k - 1] as ReplyFrom).code, awayNs: zone.least(at, from), isOwn: false })
    }
    for (const { code, awayNs } of past.before.flat())
      neighbours.push({ code, awayNs: zone.least(at, past.since) + awayNs, isOwn: false })
    for (let k = seen + 1; k < shown.length; k++) {
      const { from, code, phase: answers } = shown[k] as ReplyFrom
      neighbours.push({ code, awayNs: zone.least(from, at), isOwn: answers === phase })
    }
    // What would come by itself, if nothing comes before it.
    const replyNs = this.box.reply.minNs
    if (state.reset !== NONE) {
      const code = (shown[shown.length - 1] as ReplyFrom).code & 1
      neighbours.push({ code, awayNs: zone.least(state.reset, at) + replyNs, isOwn: false })
    }
    if (state.rising !== NONE) {
      const code = this.#normal(state.rises + 1) * 2 + 1
      neighbours.push({ code, awayNs: zone.least(state.rising, at) + replyNs, isOwn: false })
    }
    const { from, code } = shown[seen] as ReplyFrom
    const until = shown[seen + 1]?.from ?? NONE
    return {
      frame: this.#frame,
      read: this.#read,
      phase,
      code,
      identified: null,
      trail: state.trail,
      isTrailSure: !state.isUnited,
      neighbours,
      inRead: { minNs: zone.least(at, readStart), maxNs: zone.most(at, readStart) },
      afterEdge: { minNs: zone.least(at, edge), maxNs: zone.most(at, edge) },
      insideNs: Math.min(
        FORGET_AFTER_NS,
        from === OVER ? zone.most(at, past.since) + past.stoodNs : zone.most(at, from),
        until === NONE ? Infinity : zone.most(until, at),
      ),
      untilNs: until === NONE ? null : zone.most(until, at),
    }
  }

  /** Splits on whether `later` comes `byNs` or less after `earlier`. */
  #either(
    state: State,
    later: number,
    earlier: number,
    byNs: number,
    turn: Turn['of'],
  ): [yes: State | null, no: State | null] {
    const { zone } = state
    const leastNs = zone.least(later, earlier)
    const mostNs = zone.most(later, earlier)
    if (mostNs <= byNs) {
      this.#turn(turn, byNs - mostNs + 1)
      return [state, null]
    }
    if (leastNs > byNs) {
      this.#turn(turn, byNs - leastNs)
      return [null, state]
    }
    const choice = this.#recorded()
    const before = state.trail
    const yes = choice === 'all' ? state.copy() : state
    if (choice !== 1) {
      yes.zone.bound(later, earlier, byNs)
      yes.trail = { choice: 0, before }
      if (choice !== 'all') return [yes, null]
    }
    state.zone.bound(earlier, later, -byNs - 1)
    state.trail = { choice: 1, before }
    return [choice === 'all' ? yes : null, state]
  }

  /** Which of several ways to take: the recorded one, any once the trail has ended, or all of them where none is recorded. */
  #recorded(): number | 'any' | 'all' {
    if (this.recorder === null) return 'all'
    return this.recorder.choices[this.recorder.next++] ?? 'any'
  }

  #turn(of: Turn['of'], byNs: number): void {
    this.#turns.set(byNs * 2 + (of === 'rise' ? 1 : 0), { of, byNs })
  }

  /** Counts that the chart and the title cannot tell apart become one, so that there is an end of them. */
  #normal(rises: number): number {
    const { length } = this.shape.cycles
    const last = Math.max(length, this.title.cyclesPerRead + 1) + length
    if (rises <= last) return rises
    return this.shape.after.kind === 'stay' ? last : rises - length
  }
}

/**
 * The past of a state once all before reply `seen` of those shown is over; `since` is the index that `now` will have. What can stand
 * for longer than `longestNs` is taken to stand for ever, so that there is an end of longer and longer ones.
 */
function pastAt(
  { zone, shown, past }: State,
  seen: number,
  now: number,
  since: number,
  longestNs: number,
): Past {
  const before = []
  for (let k = seen; k > 0 && before.length < 2; k--) {
    const { from } = shown[k] as ReplyFrom
    if (from === OVER) break
    const awayNs = zone.least(now, from)
    before.push([{ code: (shown[k - 1] as ReplyFrom).code, awayNs }])
  }
  const passedNs = zone.least(now, past.since)
  for (const replies of past.before.slice(0, 2 - before.length))
    before.push(replies.map(({ code, awayNs }) => ({ code, awayNs: awayNs + passedNs })))
  const near = before.map((replies) => replies.filter(({ awayNs }) => awayNs <= FORGET_AFTER_NS))
  const { from } = shown[seen] as ReplyFrom
  const stoodNs = from === OVER ? past.stoodNs + zone.most(now, past.since) : zone.most(now, from)
  return {
    since,
    stoodNs: near[0]?.length && stoodNs <= longestNs ? stoodNs : Infinity,
    before: near.filter(({ length }) => length > 0),
  }
}

const each = (states: State[], go: (state: State) => State[]): State[] =>
  states.length === 1 ? go(states[0] as State) : states.flatMap(go)

/**
 * Everything that the samples of a title can meet.
 *
 * @param many more states at once than this are united where they can be: what samples meet stays the same, margins may be told too small
 */
export const explore = (title: Title, shape: ChartShape, box: Box, many = MANY): Exploration =>
  new Explorer(title, shape, box, null, many).all(Infinity) as Exploration

/** The same, given up after so many reads that begin differently. */
export const exploreUpTo = (
  mostStates: number,
  title: Title,
  shape: ChartShape,
  box: Box,
): Exploration | null => new Explorer(title, shape, box).all(mostStates)

/** Follows one trail to the end of a read, telling the recorder. @returns the zone of all instants of the trail */
export const follow = (title: Title, shape: ChartShape, box: Box, reads: number, recorder: Recorder): Zone =>
  new Explorer(title, shape, box, recorder).follow(reads)
