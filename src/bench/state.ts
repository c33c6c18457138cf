import type { SampledReply, Neighbour, ReplyCode, Trail } from './explore.ts'
import { Zone } from './zone.ts'

/** Stands for an instant that is not to come. */
export const NONE = -1
/** Stands for an instant that has come, so that nothing but margins rests on when it was. */
export const OVER = -1

export interface ReplyFrom {
  readonly code: ReplyCode
  /** Instant from which it stands on the pins; `OVER` where that has come before anything that is still to come. */
  readonly from: number
  /** Phase of the present read whose edge it answers, -1 for all else. */
  readonly phase: number
}

/** What stood on the pins before the first reply shown, counted from an instant of the zone. Nothing that comes can depend on it. */
export interface Past {
  readonly since: number
  /** The most time by then that the first reply shown stands. */
  readonly stoodNs: number
  /** Replies that can have stood one change before, two changes before, and the least time by then since their end. */
  readonly before: readonly (readonly PastReply[])[]
}

interface PastReply {
  readonly code: ReplyCode
  readonly awayNs: number
}

/** A title and a pad at one point of a read, at all times that lead there by one way. */
export class State {
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
  shown: ReplyFrom[] = []
  /** What is shown now, or was when the title last looked: one of `shown`; all behind it are over. */
  seen = 0
  past: Past = { since: 0, stoodNs: Infinity, before: [] }
  /** What the identification of this read has met. */
  identified: ReplyCode | null = null
  /** Samples of this read that wait for the identification to come. */
  waiting: SampledReply[] = []
  trail: Trail | null = null
  /** Whether its trail leads to a part of it only. */
  isUnited = false

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
    other.past = this.past
    return other
  }

  /** All but instants. */
  bare(): State {
    const other = new State(this.zone, this.high)
    other.rises = this.rises
    other.identified = this.identified
    other.waiting = [...this.waiting]
    other.trail = this.trail
    other.isUnited = this.isUnited
    return other
  }

  get code(): ReplyCode {
    return this.rises * 2 + (this.high ? 1 : 0)
  }
}

/** What tells two states apart beside times and the past. */
function kindOf({ identified, waiting, code: now, reset, rising, shown, seen }: State): string {
  const replies = shown.map(({ code, from }) => (from === OVER ? `${code}` : `${code}.`)).join(' ')
  const flags = `${reset === NONE ? '' : 'reset'} ${rising === NONE ? '' : 'rising'}`
  return `${identified ?? NONE} ${waiting.map(({ code }) => code).join('.')} ${now} ${flags} ${seen} ${replies}`
}

/** Whether all that one past says is said by the other, too, and as near. */
const isPastWithin = (one: Past, other: Past): boolean =>
  one.stoodNs <= other.stoodNs &&
  one.before.every((replies, k) =>
    replies.every(({ code, awayNs }) =>
      other.before[k]?.some((known) => known.code === code && known.awayNs <= awayNs),
    ),
  )

/** The past of a state that can have come by either way. */
function unitedPast(one: Past, other: Past): Past {
  const depth = Math.max(one.before.length, other.before.length)
  const before = Array.from({ length: depth }, (_, k) => {
    const nearest = new Map<ReplyCode, PastReply>()
    for (const reply of [...(one.before[k] ?? []), ...(other.before[k] ?? [])]) {
      if (reply.awayNs < (nearest.get(reply.code)?.awayNs ?? Infinity)) nearest.set(reply.code, reply)
    }
    return [...nearest.values()]
  })
  return { since: one.since, stoodNs: Math.max(one.stoodNs, other.stoodNs), before }
}

/** Samples that wait, of two states that can have come by either way: each reply once, where it is nearest. */
const unitedWaiting = (one: readonly SampledReply[], other: readonly SampledReply[]): SampledReply[] =>
  one.map((sample, k) => {
    const neighbours = [...sample.neighbours]
    for (const neighbour of other[k]?.neighbours ?? []) keepNearest(neighbours, neighbour)
    return { ...sample, neighbours, insideNs: Math.max(sample.insideNs, other[k]?.insideNs ?? 0) }
  })

/** Adds one to neighbours of which each stands there once, where it is nearest. */
export function keepNearest(neighbours: Neighbour[], one: Neighbour): void {
  const at = neighbours.findIndex(({ code, isOwn }) => code === one.code && isOwn === one.isOwn)
  if (at === -1) neighbours.push(one)
  else if (one.awayNs < (neighbours[at] as Neighbour).awayNs) neighbours[at] = one
}

/** States at the same point of a read, of which none can only be continued as another one can be, too. All have just forgotten. */
export class KnownStates {
  /** In the order in which they came. */
  readonly states = new Set<State>()
  readonly #like = new Map<string, Set<State>>()
  #fresh = new Set<State>()

  /**
   * @param unites whether it and another one become one state where that one can go on as either could and in no other way. The trail is
   * that of one of them then, and of the past the nearest of both is kept: margins become rather too small than too large.
   */
  add(state: State, unites: boolean): void {
    const kind = kindOf(state)
    const others = this.#like.get(kind) ?? new Set()
    for (const other of others) {
      if (!state.zone.isWithin(other.zone) || !isPastWithin(state.past, other.past)) continue
      other.waiting = unitedWaiting(other.waiting, state.waiting)
      return
    }
    if (others.size === 0) this.#like.set(kind, others)
    others.add(state)
    this.states.add(state)
    this.#fresh.add(state)
    if (unites) this.#unite(state, others)
  }

  /** Those that can be continued in a way that none before the last asking could. */
  fresh(): State[] {
    const fresh = [...this.#fresh]
    this.#fresh = new Set()
    return fresh
  }

  #unite(state: State, others: Set<State>): void {
    for (const other of others) {
      if (other === state) continue
      const isWithin = state.zone.isWithin(other.zone)
      if (!isWithin && !other.zone.unite(state.zone)) continue
      other.isUnited ||= !isWithin
      other.past = unitedPast(other.past, state.past)
      other.waiting = unitedWaiting(other.waiting, state.waiting)
      this.#fresh.add(other)
      others.delete(state)
      this.states.delete(state)
      this.#fresh.delete(state)
      if (!isWithin) this.#unite(other, others)
      return
    }
  }
}
