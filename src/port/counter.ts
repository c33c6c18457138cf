import type { KnownLevel } from './pins.ts'

/** What was counted before there was anybody to see it. */
export interface CountedBefore {
  readonly rises: number
  /** When its idle reset comes if no rise comes before it; `null` where there is none to come. */
  readonly resetNs: number | null
}

/**
 * Counts the rising edges of select as a pad does. No pins and no delay here: see {@link PortEngine} for those.
 *
 * When the idle reset time has passed since the last rise, the count starts afresh on the spot, whatever the level; a rise at
 * that very instant comes after it. From a level that is not known, and to one, there is no rise.
 */
export class SelectCounter {
  #rises: number
  #nextResetNs: number | null
  #level: KnownLevel

  /** @param idleResetNs from a rise to the idle reset; a function is asked at each rise, by its time */
  constructor(
    private readonly idleResetNs: number | ((riseNs: number) => number),
    level: KnownLevel,
    before: CountedBefore = { rises: 0, resetNs: null },
  ) {
    this.#level = level
    this.#rises = before.rises
    this.#nextResetNs = before.resetNs
  }

  /** Rises since the last reset. */
  get rises(): number {
    return this.#rises
  }

  get level(): KnownLevel {
    return this.#level
  }

  /** When the next idle reset comes if no rise comes before it; `null` when there is none to come. */
  get nextResetNs(): number | null {
    return this.#nextResetNs
  }

  /** Starts afresh if a reset is due by `byNs`. @returns when it came, or `null` */
  resetBy(byNs: number): number | null {
    const atNs = this.#nextResetNs
    if (atNs === null || atNs > byNs) return null
    this.#rises = 0
    this.#nextResetNs = null
    return atNs
  }

  /** Select is at `level` from `atNs` on; resets that are due by then have been asked for. @returns whether it moved */
  select(atNs: number, level: KnownLevel): boolean {
    if (level === this.#level) return false
    if (this.#level === 'low' && level === 'high') {
      const { idleResetNs } = this
      this.#rises += 1
      this.#nextResetNs = atNs + (typeof idleResetNs === 'number' ? idleResetNs : idleResetNs(atNs))
    }
    this.#level = level
    return true
  }
}
