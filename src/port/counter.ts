import type { KnownLevel } from './pins.ts'

/**
 * Counts the rising edges of select as a pad does. No pins and no delay here: see {@link PortEngine} for those.
 *
 * When the idle reset time has passed since the last rise, the count starts afresh on the spot, whatever the level; a rise at
 * that very instant comes after it. From a level that is not known, and to one, there is no rise.
 */
export class SelectCounter {
  #rises = 0
  #lastRiseNs: number | null = null
  #level: KnownLevel

  constructor(
    private readonly idleResetNs: number,
    level: KnownLevel,
  ) {
    this.#level = level
  }

  /** Rises since the last reset. */
  get rises(): number {
    return this.#rises
  }

  get level(): KnownLevel {
    return this.#level
  }

  /** The last rise since the last reset; `null` when there was none. */
  get lastRiseNs(): number | null {
    return this.#lastRiseNs
  }

  /** When the next idle reset comes if no rise comes before it; `null` when there is none to come. */
  get nextResetNs(): number | null {
    return this.#lastRiseNs === null ? null : this.#lastRiseNs + this.idleResetNs
  }

  /** Starts afresh if a reset is due by `byNs`. @returns when it came, or `null` */
  resetBy(byNs: number): number | null {
    const atNs = this.nextResetNs
    if (atNs === null || atNs > byNs) return null
    this.#rises = 0
    this.#lastRiseNs = null
    return atNs
  }

  /** Select is at `level` from `atNs` on; resets that are due by then have been asked for. @returns whether it moved */
  select(atNs: number, level: KnownLevel): boolean {
    if (level === this.#level) return false
    if (this.#level === 'low' && level === 'high') {
      this.#rises += 1
      this.#lastRiseNs = atNs
    }
    this.#level = level
    return true
  }
}
