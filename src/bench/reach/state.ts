import { WORK } from '../work-budget.ts'
import type { WorkBudget } from '../work-budget.ts'
import type { Zone } from '../zone.ts'
import type { Count, ReplyCode } from './counting.ts'
import { NONE, codeOf } from './counting.ts'

/** What a state remembers of an earlier sample of its read, for later ones that hang on it. */
export interface Memory {
  /** Which pair of samples it is for. */
  readonly pair: number
  /** What the earlier one has met. */
  readonly code: ReplyCode
  /** When the count stood at this for it, as an instant of the zone; `NONE` once nothing hangs on when. */
  readonly met: number
}

/** How a state was left for the next node, or how it was waited in; the same again leads to the same zone. */
export interface Step {
  /** Which of the ways on from its node; `NONE`: the title does nothing any more. */
  readonly way: number
  /** Whether the once-a-read longer time of the way was taken. */
  readonly isStretched: boolean
  /** Which of the orders of what comes by itself. */
  readonly passage: number
  /** How the earlier sample of a pair met its code on this step; `null`: it did not. */
  readonly meets: StepMeeting | null
}

export interface StepMeeting {
  readonly pair: number
  /** In which standing of the passage. */
  readonly standing: number
  /** Whether that sample is one of the node that was left, of the node that was reached, or of one still to come. */
  readonly at: 'left' | 'reached' | 'to-come'
}

/** Instants that stand first in the zone of every state. */
export const PLACE = 0
export const EDGE = 1

/** A title and a pad at a node, after what is written there, at all times that lead there by one way. Never changed. */
export interface ReachState extends Count {
  readonly node: number
  /** How many gaps of this read have been stretched already. */
  readonly stretches: number
  readonly memory: Memory | null
  /** Frames since power-on, from 0. */
  readonly frame: number
  /** Whether it is all that can be, and no more; false where many were taken together to come to an end. */
  readonly isExact: boolean
  readonly origin: { readonly state: ReachState; readonly step: Step } | null
  /** The two that were united to this one. */
  readonly parts: readonly [ReachState, ReachState] | null
}

/** What tells two states of a node apart, their times left out. */
function kindOf(state: ReachState): number {
  const { memory, reset, rising, stretches } = state
  const remembered =
    memory === null ? 0 : (memory.pair * 64 + memory.code) * 2 + (memory.met === NONE ? 1 : 2)
  const flags = (reset === NONE ? 0 : 2) + (rising === NONE ? 0 : 1)
  return ((remembered * 64 + codeOf(state)) * 1024 + stretches) * 4 + flags
}

/** A state without how it was come to: of one kind at one node, states differ in their times alone. */
export interface StateTimes {
  readonly node: number
  readonly kind: number
  readonly zone: Zone
}

export const timesOf = (state: ReachState): StateTimes => ({
  node: state.node,
  kind: kindOf(state),
  zone: state.zone,
})

/** Whether a state is one of these, or a part of it. */
export const isHeldBy = (state: StateTimes, known: readonly StateTimes[]): boolean =>
  known.some(
    ({ node, kind, zone }) => node === state.node && kind === state.kind && state.zone.isWithin(zone),
  )

/** All states that were followed, without how they were come to. */
export class HeldStates {
  /** By node and kind. */
  readonly #zones: readonly (ReadonlyMap<number, readonly Zone[]> | undefined)[]

  constructor(byNode: readonly (KnownStates | undefined)[]) {
    this.#zones = byNode.map((known) => known?.zones())
  }

  /** Whether all that can come of a state is in them. */
  holds({ node, kind, zone }: StateTimes): boolean {
    return this.#zones[node]?.get(kind)?.some((known) => zone.isWithin(known)) ?? false
  }
}

/** The states of one node, of which none lies within another. */
export class KnownStates {
  readonly #like = new Map<number, readonly ReachState[]>()
  #fresh: ReachState[] = []
  /** Whether any two with a reset to come were tried for being one: by how much it is in doubt can decide that. */
  hangsOnDoubt = false

  constructor(private readonly budget: WorkBudget) {}

  add(state: ReachState): void {
    const kind = kindOf(state)
    let others = this.like(state)
    this.budget.spend(others.length)
    for (const other of others) if (state.zone.isWithin(other.zone)) return
    let now = state
    for (;;) {
      const { zone } = now
      this.budget.spend(WORK.zone * others.length)
      others = others.filter((other) => !other.zone.isWithin(zone) || !this.#leave(other))
      if (others.length > 0 && state.reset !== NONE) this.hangsOnDoubt = true
      const partner = others.find((other) => zone.united(other.zone) !== null)
      if (partner === undefined) break
      const united = zone.united(partner.zone) as Zone
      now = { ...now, zone: united, parts: [now, partner], isExact: now.isExact && partner.isExact }
    }
    this.#like.set(kind, [...others, now])
    this.#fresh.push(now)
  }

  /** Instead of all that are like it. */
  replace(state: ReachState): void {
    const kind = kindOf(state)
    for (const other of this.#like.get(kind) ?? []) this.#leave(other)
    this.#like.set(kind, [state])
    this.#fresh.push(state)
  }

  /** What is held by another one is not followed for itself any more. */
  #leave(state: ReachState): true {
    const at = this.#fresh.indexOf(state)
    if (at !== -1) this.#fresh.splice(at, 1)
    return true
  }

  /** Those that came since the last asking. */
  takeFresh(): readonly ReachState[] {
    if (this.#fresh.length === 0) return NO_STATES
    const fresh = this.#fresh
    this.#fresh = []
    return fresh
  }

  /** By kind. */
  zones(): Map<number, Zone[]> {
    return new Map([...this.#like].map(([kind, states]) => [kind, states.map(({ zone }) => zone)]))
  }

  like(state: ReachState): readonly ReachState[] {
    return this.#like.get(kindOf(state)) ?? NO_STATES
  }
}

const NO_STATES: readonly ReachState[] = []
