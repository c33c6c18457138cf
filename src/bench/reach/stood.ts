import type { ReplyCode } from './counting.ts'
import type { ReachState, Step } from './state.ts'

/**
 * A code that stood in the gap that ends at a node, or that stands from a node on while the title does nothing: since when at the
 * earliest and until when at the latest. A sample needs no more of what came before it.
 */
export interface Stood {
  readonly code: ReplyCode
  /** Rising edges since the last idle reset, in one timing that leads here. */
  readonly rises: number
  /** From the instant of the node, or before it: below 0. */
  readonly sinceNs: number
  readonly untilNs: number
  /** The same, from the place of the node's read. */
  readonly sincePlaceNs: number
  readonly untilPlaceNs: number
  /** What the pad counts right after the node's own write. */
  readonly own: ReplyCode
  readonly frame: number
  readonly isExact: boolean
  readonly state: ReachState
  readonly step: Step
  readonly standing: number
}

/** Of states that remember nothing. */
export const NO_MEMORY = 0
/** Of states that remember what the first sample of a pair has met. */
export const memoryKey = (pair: number, code: ReplyCode): number => 1 + pair * 64 + code

/** All that stood in one place, each in the order in which it was found; nothing that is within what was found before. */
export class StoodHere {
  /** @param everyFrame whether what was found in one frame is told again in another */
  constructor(private readonly everyFrame = false) {}

  readonly #by: (Map<ReplyCode, Stood[]> | undefined)[] = []

  /** Whether it says anything that is not known. */
  isNew(
    key: number,
    code: ReplyCode,
    own: ReplyCode,
    isExact: boolean,
    sinceNs: number,
    untilNs: number,
    sincePlaceNs: number,
    untilPlaceNs: number,
    frame: number,
  ): boolean {
    const known = this.#by[key]?.get(code)
    if (known === undefined) return true
    for (const other of known)
      if (
        sinceNs >= other.sinceNs &&
        untilNs <= other.untilNs &&
        sincePlaceNs >= other.sincePlaceNs &&
        untilPlaceNs <= other.untilPlaceNs &&
        own === other.own &&
        (!this.everyFrame || frame === other.frame) &&
        (other.isExact || !isExact)
      )
        return false
    return true
  }

  add(key: number, stood: Stood): void {
    const codes = (this.#by[key] ??= new Map<ReplyCode, Stood[]>())
    const known = codes.get(stood.code)
    if (known === undefined) codes.set(stood.code, [stood])
    else known.push(stood)
  }

  get keys(): readonly number[] {
    return this.#by.flatMap((codes, key) => (codes === undefined ? [] : [key]))
  }

  by(key: number): ReadonlyMap<ReplyCode, readonly Stood[]> {
    return this.#by[key] ?? NOTHING
  }
}

const NOTHING: ReadonlyMap<ReplyCode, readonly Stood[]> = new Map()
