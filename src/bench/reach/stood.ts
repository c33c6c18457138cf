import type { ReplyCode } from './counting.ts'
import type { WorkBudget } from '../work-budget.ts'
import type { ReachState, Step } from './state.ts'

/**
 * A code that stood in the gap that ends at a node, or that stands from a node on while the title does nothing: since when at the
 * earliest and until when at the latest. A sample needs no more of what came before it.
 */
export interface Stood extends StoodFor {
  readonly here: FoundHere
}

/** What stood, and for how long. */
export interface StoodFor {
  readonly code: ReplyCode
  /** Rising edges since the last idle reset, in one timing that leads here. */
  readonly rises: number
  /** From the instant of the node, or before it: below 0. */
  readonly sinceNs: number
  readonly untilNs: number
  /** The same, from the place of the node's read. */
  readonly sincePlaceNs: number
  readonly untilPlaceNs: number
  readonly standing: number
}

/** Where something stood: the state that was left and how. */
export interface FoundHere {
  /** What the pad counts right after the node's own write. */
  readonly own: ReplyCode
  readonly frame: number
  readonly isExact: boolean
  /** Whether the first sample of the pair has met something already, and its node is still to come. */
  readonly isToCome: boolean
  /** How many gaps of the read that was left have been stretched. */
  readonly stretches: number
  readonly state: ReachState
  readonly step: Step
}

/** All that stood of one code, in the order in which it was found. */
export interface StoodOfCode {
  readonly code: ReplyCode
  readonly all: readonly Stood[]
  /** The latest until when any of it stood, from the instant of the node and from the place of its read. */
  readonly latestNs: number
  readonly latestPlaceNs: number
}

/** Of states that remember nothing. */
export const NO_MEMORY = 0
/** Of states that remember what the first sample of a pair has met. */
export const memoryKey = (pair: number, code: ReplyCode): number => 1 + pair * 64 + code
export const pairOf = (key: number): number => Math.floor((key - 1) / 64)

type Found = { -readonly [K in keyof StoodOfCode]: StoodOfCode[K] } & { readonly all: Stood[] }

/** All that stood in one place, each in the order in which it was found; nothing that is within what was found before. */
export class StoodHere {
  /** @param everyFrame whether what was found in one frame is told again in another */
  constructor(
    private readonly budget: WorkBudget,
    private readonly everyFrame = false,
  ) {}

  /** By key, and there by code: of so few a list is looked through sooner than a map. */
  readonly #by: (Found[] | undefined)[] = []

  add(key: number, stood: Stood): void {
    const codes = (this.#by[key] ??= [])
    let found = codes.find(({ code }) => code === stood.code)
    if (found === undefined)
      codes.push((found = { code: stood.code, all: [], latestNs: -Infinity, latestPlaceNs: -Infinity }))
    this.budget.spend(found.all.length)
    for (const other of found.all) if (this.#tells(other, stood)) return
    found.all.push(stood)
    found.latestNs = Math.max(found.latestNs, stood.untilNs)
    found.latestPlaceNs = Math.max(found.latestPlaceNs, stood.untilPlaceNs)
  }

  /** Whether the one says all that the other does. */
  #tells(one: Stood, other: Stood): boolean {
    return (
      other.sinceNs >= one.sinceNs &&
      other.untilNs <= one.untilNs &&
      other.sincePlaceNs >= one.sincePlaceNs &&
      other.untilPlaceNs <= one.untilPlaceNs &&
      other.here.own === one.here.own &&
      other.here.isToCome === one.here.isToCome &&
      one.here.stretches <= other.here.stretches &&
      (!this.everyFrame || other.here.frame === one.here.frame) &&
      (one.here.isExact || !other.here.isExact)
    )
  }

  get keys(): readonly number[] {
    return this.#by.flatMap((codes, key) => (codes === undefined ? [] : [key]))
  }

  by(key: number): readonly StoodOfCode[] {
    return this.#by[key] ?? NOTHING
  }
}

const NOTHING: readonly StoodOfCode[] = []
