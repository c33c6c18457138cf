import type { Chart } from '../port/chart.ts'
import type { Level } from '../port/pins.ts'
import type { Title } from '../title/schema.ts'
import type { Box, RangeNs } from './box.ts'
import { IDENTIFIES, stepsOf } from './steps.ts'
import type { Step } from './steps.ts'
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

/** Another reply beside the one that a look meets, and how far the look is from it. */
export interface Neighbour {
  readonly code: ReplyCode
  /** The least time by which the look, or what select did before it, would have to move. Above 0, or 0 at a tie. */
  readonly awayNs: number
  /** Whether it is the reply to the edge that opened the phase of the look, still to come. */
  readonly isOwn: boolean
}

/** What a look at the pins meets, the first time that it meets this. */
export interface LookSeen {
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
  /** From the first phase of the read to the look. */
  readonly inRead: RangeNs
  /** From the edge that opens the phase to the look. */
  readonly afterEdge: RangeNs
  /** How deep inside this reply the look can be: the most by which both its ends are away. */
  readonly insideNs: number
  /** The most by which the next reply can still be away; `null` where none is to come. */
  readonly untilNs: number | null
  /** Leads to this look, and on to the identification where that comes later in the read. */
  readonly trail: Trail | null
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
  /** Everything that looks can meet. */
  readonly looks: readonly LookSeen[]
  readonly turns: readonly Turn[]
}

export type ChartShape = Pick<Chart, 'after'> & { readonly cycles: { readonly length: number } }

/** What is written down while one timing is followed to the end; see `witness.ts`. Instants are those of the zone. */
export interface Recorder {
  readonly choices: readonly number[]
  next: number
  read(place: number, start: number): void
  write(at: number, level: Level): void
  /** The release that was just written has the line risen then, unless a fall comes before it. */
  rises(at: number): void
  /** What the pad counts, and from when the pins show it. */
  counts(what: 'rise' | 'fall' | 'reset', at: number, shows: number, code: ReplyCode): void
  /** The idle reset that the rise just counted would have if no other came before it. */
  arms(reset: number): void
  look(at: number, phase: number, from: number, until: number): void
}

interface Shown {
  readonly code: ReplyCode
  /** Instant from which it stands on the pins; `LONG_AGO` where that no longer matters. */
  readonly from: number
  /** Phase of the present read whose edge it answers, -1 for all else. */
  readonly phase: number
}

const NONE = -1
/** So many states at once are followed without looking for any that say the same. */
const FEW = 4
const LONG_AGO = -1
/** Past any idle reset that a profile can ask for, and any margin that anybody waits for. */
const FORGET_AFTER_NS = 250_000_000

class State {
  rises = 0
  /** Instant of the idle reset to come. */
  reset = NONE
  /** Instant at which a released line will have risen. */
  rising = NONE
  /** Instant of the latest phase. */
  edge = 0
  /** Instant to which the present read is bound. */
  place = 0
  readStart = 0
  shown: Shown[] = []
  /** What is shown now, or was when the title last looked: one of `shown`; all behind it are over. */
  seen = 0
  /** What the identification of this read has met. */
  identified: ReplyCode | null = null
  /** Looks of this read that wait for the identification to come. */
  waiting: LookSeen[] = []
  trail: Trail | null = null

  constructor(
    public zone: Zone,
    public high: boolean,
  ) {}

  copy(): State {
    const other = this.bare()
    other.zone = this.zone.copy()
    other.reset = this.reset
    other.rising = this.rising
    other.edge = this.edge
    other.place = this.place
    other.readStart = this.readStart
    other.shown = [...this.shown]
    other.seen = this.seen
    return other
  }

  /** All but instants. */
  bare(): State {
    const other = new State(this.zone, this.high)
    other.rises = this.rises
    other.identified = this.identified
    other.waiting = [...this.waiting]
    other.trail = this.trail
    return other
  }

  get code(): ReplyCode {
    return this.rises * 2 + (this.high ? 1 : 0)
  }
}

class Explorer {
  readonly #steps: readonly Step[]
  /** Phase of the identification; -1 where there is none. */
  readonly #identifiedIn: number
  readonly #looks = new Map<number, LookSeen>()
  readonly #turns = new Map<string, Turn>()
  #frame = 0
  #read = 0

  constructor(
    private readonly title: Title,
    private readonly shape: ChartShape,
    private readonly box: Box,
    private readonly recorder: Recorder | null = null,
  ) {
    this.#steps = stepsOf(title)
    this.#identifiedIn = this.#steps.findIndex(({ looks }) => looks.includes(IDENTIFIES))
  }

  /** @param mostStates more of them are not followed; `null` says so */
  all(mostStates: number): Exploration | null {
    let count = 0
    const met = new Map<string, Zone[]>()
    let states = [this.#powerOn()]
    while (states.length > 0) {
      const read = this.#read
      const next: State[] = []
      for (const start of states) {
        if (++count > mostStates) return null
        for (const end of this.#go(start)) {
          const arrived = this.#goOn(end)
          if (isNew(met, read, arrived)) next.push(arrived)
        }
      }
      this.#count()
      states = next
    }
    return { looks: [...this.#looks.values()], turns: [...this.#turns.values()] }
  }

  #count(): void {
    this.#read = (this.#read + 1) % this.title.readOffsetsNs.length
    if (this.#read === 0) this.#frame++
  }

  /** Follows one trail through so many reads without forgetting anything; the recorder is told. @returns the zone of all instants */
  follow(reads: number): Zone {
    let state = this.#powerOn()
    for (let at = 0; ; at++) {
      const [end, ...others] = this.#go(state)
      if (end === undefined || others.length > 0) throw new Error('a trail leads one way')
      if (at + 1 === reads) return end.zone
      state = this.#goOn(end)
      this.#count()
    }
  }

  #powerOn(): State {
    const zone = new Zone(this.recorder ? 256 : 32)
    zone.origin()
    const state = new State(zone, this.title.rest === 'high')
    state.shown.push({ code: state.code, from: LONG_AGO, phase: NONE })
    return state
  }

  /** From the place of a read to that of the next. */
  #goOn(state: State): State {
    const { minNs, maxNs } = this.box.toNextRead[this.#read] as RangeNs
    const place = state.zone.after(state.edge, minNs, maxNs)
    const next = this.#forget(state, [place])
    next.edge = this.recorder ? place : 0
    for (const [k, entry] of next.shown.entries()) next.shown[k] = { ...entry, phase: NONE }
    return next
  }

  /** The state with these instants alone, and those that what comes can depend on. */
  #forget(state: State, instants: number[]): State {
    const { zone, shown } = state
    const now = instants[instants.length - 1] as number
    const isOver = (entry: Shown) => entry.from === LONG_AGO || zone.most(entry.from, now) <= 0
    let seen = state.seen
    while (seen + 1 < shown.length && isOver(shown[seen + 1] as Shown)) seen++
    const first = Math.max(0, seen - 2)
    const keep = (instant: number): number => {
      if (instant === NONE || this.recorder) return instant
      return instants.push(instant) - 1
    }
    const next = state.bare()
    next.reset = keep(state.reset)
    next.rising = keep(state.rising)
    next.shown = shown.slice(first).map(({ from, ...entry }) => {
      const old = from === LONG_AGO || zone.least(now, from) > FORGET_AFTER_NS
      return { ...entry, from: old ? LONG_AGO : keep(from) }
    })
    next.seen = seen - first
    if (!this.recorder) next.zone = zone.of(instants)
    return next
  }

  /** One read from its place on. All states that come out have its place as their latest edge again. */
  #go(start: State): State[] {
    const place = start.edge
    start.identified = null
    start.edge = start.zone.after(place, this.box.readStart.minNs, this.box.readStart.maxNs)
    start.place = place
    start.readStart = start.edge
    this.recorder?.read(place, start.edge)
    let states = [start]
    this.#steps.forEach(({ writes, looks }, phase) => {
      const { minNs, maxNs } = this.box.edgeSpacing
      if (states.length > FEW) states = this.#merge(states)
      if (phase > 0) for (const state of states) state.edge = state.zone.after(state.edge, minNs, maxNs)
      if (writes !== null) states = each(states, (state) => this.#write(state, writes, phase))
      if (looks.length > 0) states = each(states, (state) => this.#look(state, phase))
    })
    for (const state of states) state.edge = state.place
    return states
  }

  /** Takes out states from which nothing can come that does not come from another one, too. */
  #merge(states: readonly State[]): State[] {
    const met = new Map<string, Zone[]>()
    return states
      .map((state) => {
        const next = this.#forget(state, [state.place, state.readStart, state.edge])
        next.place = 0
        next.readStart = 1
        next.edge = 2
        return next
      })
      .filter((state) => isNew(met, state.identified ?? NONE, state))
  }

  #write(state: State, level: Level, phase: number): State[] {
    this.recorder?.write(state.edge, level)
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
    const last = shown[shown.length - 1] as Shown
    if (last.from !== LONG_AGO) zone.bound(last.from, from, 0)
    shown.push({ code: state.code, from, phase })
    this.recorder?.counts(what, at, from, state.code)
  }

  #look(state: State, phase: number): State[] {
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

  /** The look meets one reply of those that can stand at its instant; at a tie it may meet either. */
  #see(state: State, at: number, phase: number): State[] {
    const { zone, shown } = state
    const can: number[] = []
    for (let k = state.seen; k < shown.length; k++) {
      const { from } = shown[k] as Shown
      if (from !== LONG_AGO && !zone.canBeWithin(from, at, 0)) break
      const until = shown[k + 1]?.from ?? NONE
      if (until === NONE || zone.canBeWithin(at, until, 0)) can.push(k)
    }
    if (can.length < 2) return can.flatMap((k) => this.#seeing(state, k, at, phase))
    const choice = this.#recorded()
    if (typeof choice === 'number') {
      state.trail = { choice, before: state.trail }
      return this.#seeing(state, can[choice] as number, at, phase)
    }
    const met = can.map((k, number) => () => {
      const one = state.copy()
      one.trail = { choice: number, before: state.trail }
      return this.#seeing(one, k, at, phase)
    })
    if (choice === 'all') return met.flatMap((see) => see())
    return met.reduce<State[]>((found, see) => (found.length > 0 ? found : see()), [])
  }

  /** The look meets reply `k` of those shown; no state where it cannot. */
  #seeing(state: State, k: number, at: number, phase: number): State[] {
    const { zone, shown } = state
    const from = (shown[k] as Shown).from
    const until = shown[k + 1]?.from ?? NONE
    if (from !== LONG_AGO && !zone.bound(from, at, 0)) return []
    if (until !== NONE && !zone.bound(at, until, 0)) return []
    state.seen = k
    this.#meets(state, this.#lookSeen(state, at, phase))
    if (this.recorder) this.recorder.look(at, phase, from, until)
    else zone.forgetLast(at)
    return [state]
  }

  /** Keeps what a look meets, once it is known what the identification of its read has met, where that matters. */
  #meets(state: State, look: LookSeen): void {
    if (look.phase === this.#identifiedIn) {
      state.identified = look.code
      for (const earlier of state.waiting)
        this.#keep({ ...earlier, identified: look.code, trail: state.trail })
      state.waiting = []
    }
    const waits = (this.#steps[look.phase] as Step).looks.some(
      (k) => k !== IDENTIFIES && this.title.samples[k]?.when === 'six-buttons',
    )
    if (!waits || this.#identifiedIn === NONE) this.#keep(look)
    else if (look.phase < this.#identifiedIn) state.waiting.push(look)
    else this.#keep({ ...look, identified: state.identified })
  }

  #keep(look: LookSeen): void {
    const key = (look.phase * 128 + look.code) * 128 + (look.identified ?? 127)
    const known = this.#looks.get(key)
    if (known === undefined) {
      this.#looks.set(key, look)
      return
    }
    this.#looks.set(key, {
      ...known,
      neighbours: nearest([...known.neighbours, ...look.neighbours]),
      insideNs: Math.max(known.insideNs, look.insideNs),
    })
  }

  #lookSeen(state: State, at: number, phase: number): LookSeen {
    const { zone, shown, seen, readStart, edge } = state
    const neighbours: Neighbour[] = []
    for (let k = seen; k > 0; k--) {
      const { from } = shown[k] as Shown
      if (from === LONG_AGO) break
      neighbours.push({ code: (shown[k - 1] as Shown).code, awayNs: zone.least(at, from), isOwn: false })
    }
    for (let k = seen + 1; k < shown.length; k++) {
      const { from, code, phase: answers } = shown[k] as Shown
      neighbours.push({ code, awayNs: zone.least(from, at), isOwn: answers === phase })
    }
    // What would come by itself, if nothing comes before it.
    const replyNs = this.box.reply.minNs
    if (state.reset !== NONE) {
      const code = (shown[shown.length - 1] as Shown).code & 1
      neighbours.push({ code, awayNs: zone.least(state.reset, at) + replyNs, isOwn: false })
    }
    if (state.rising !== NONE) {
      const code = this.#normal(state.rises + 1) * 2 + 1
      neighbours.push({ code, awayNs: zone.least(state.rising, at) + replyNs, isOwn: false })
    }
    const { from, code } = shown[seen] as Shown
    const until = shown[seen + 1]?.from ?? NONE
    return {
      frame: this.#frame,
      read: this.#read,
      phase,
      code,
      identified: null,
      trail: state.trail,
      neighbours,
      inRead: { minNs: zone.least(at, readStart), maxNs: zone.most(at, readStart) },
      afterEdge: { minNs: zone.least(at, edge), maxNs: zone.most(at, edge) },
      insideNs: Math.min(
        from === LONG_AGO ? Infinity : zone.most(at, from),
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
    this.#turns.set(`${of} ${byNs}`, { of, byNs })
  }

  /** Counts that the chart and the title cannot tell apart become one, so that there is an end of them. */
  #normal(rises: number): number {
    const { length } = this.shape.cycles
    const last = Math.max(length, this.title.cyclesPerRead + 1) + length
    if (rises <= last) return rises
    return this.shape.after.kind === 'stay' ? last : rises - length
  }
}

const each = (states: State[], go: (state: State) => State[]): State[] =>
  states.length === 1 ? go(states[0] as State) : states.flatMap(go)

/** Each other reply once, where it is nearest. */
function nearest(neighbours: readonly Neighbour[]): Neighbour[] {
  const best = new Map<number, Neighbour>()
  for (const neighbour of neighbours) {
    const key = neighbour.code * 2 + (neighbour.isOwn ? 1 : 0)
    const known = best.get(key)
    if (known === undefined || neighbour.awayNs < known.awayNs) best.set(key, neighbour)
  }
  return [...best.values()]
}

/** Whether this state can be continued in a way that none before it could. */
function isNew(met: Map<string, Zone[]>, kind: number, state: State): boolean {
  const instants = state.shown.map(({ code, from }) => (from === LONG_AGO ? `${code}` : `${code}.`))
  const flags = `${state.reset === NONE ? '' : 'reset'} ${state.rising === NONE ? '' : 'rising'}`
  const key = `${kind} ${state.waiting.map(({ code }) => code).join('.')} ${state.code} ${flags} ${state.seen} ${instants.join(' ')}`
  const zones = met.get(key)
  if (zones === undefined) {
    met.set(key, [state.zone.copy()])
    return true
  }
  if (zones.some((zone) => state.zone.isWithin(zone))) return false
  zones.push(state.zone.copy())
  return true
}

/** Everything that the looks of a title can meet. */
export const explore = (title: Title, shape: ChartShape, box: Box): Exploration =>
  new Explorer(title, shape, box).all(Infinity) as Exploration

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
