import { SelectCounter } from '../../port/counter.ts'
import type { CountedBefore } from '../../port/counter.ts'
import type { Level } from '../../port/pins.ts'
import type { ScheduleNode } from '../../title/schedule.ts'

/** Something that the pad counts, and what it has counted then. */
export interface Change {
  readonly what: 'rise' | 'fall' | 'reset'
  readonly atNs: number
  /** When the title wrote the edge that this is; `null` for a reset. */
  readonly writtenNs: number | null
  /** Rising edges since the last idle reset. */
  readonly rises: number
  readonly level: Level
  /** After a rise: when the idle reset comes, if no rise comes first. */
  readonly resetsNs: number | null
}

/** How long it takes what comes by itself, each asked for once, in the order in which it is needed; in ns. */
export interface LineTimes {
  /** From the release of select to its rise. */
  readonly riseNs: () => number
  /** From a rise at this time to the idle reset. */
  readonly idleResetNs: (riseNs: number) => number
}

/**
 * Select as it arrives at a pad: what a title writes, the rise of a line that it releases, and the count of it. The rules at a tie: a reset
 * comes before whatever falls on the same instant; a fall comes before the rise of a released line, which is lost.
 */
export class SelectAtPad {
  readonly #counter: SelectCounter
  /** A released line on its way up. */
  #rising: { readonly atNs: number; readonly writtenNs: number } | null = null

  /** @param tell hears of every change, in order of time */
  constructor(
    idleLevel: Level,
    private readonly times: LineTimes,
    private readonly tell: (change: Change) => void,
    before?: CountedBefore,
  ) {
    this.#counter = new SelectCounter(times.idleResetNs, idleLevel, before)
  }

  get rises(): number {
    return this.#counter.rises
  }

  get level(): Level {
    // A title never leaves select unknown.
    return this.#counter.level as Level
  }

  /** When the next idle reset comes by itself; `null` where there is none to come. */
  get resetsNs(): number | null {
    return this.#counter.nextResetNs
  }

  /** When a released line will have risen, if no fall comes first; `null` where none is on its way. */
  get risesNs(): number | null {
    return this.#rising?.atNs ?? null
  }

  write(writes: ScheduleNode['writes'], atNs: number): void {
    if (writes === 'low') {
      this.pass(atNs - 1)
      this.#rising = null
      this.#edge('fall', atNs, atNs)
      return
    }
    this.pass(atNs)
    if (writes === null || this.level === 'high') return
    if (writes === 'release') this.#rising ??= { atNs: atNs + this.times.riseNs(), writtenNs: atNs }
    else {
      this.#rising = null
      this.#edge('rise', atNs, atNs)
    }
  }

  /** Lets time pass, up to and including `toNs`. */
  pass(toNs: number): void {
    if (this.#rising !== null && this.#rising.atNs <= toNs) {
      const { atNs, writtenNs } = this.#rising
      this.#rising = null
      this.#edge('rise', atNs, writtenNs)
    }
    this.#reset(toNs)
  }

  #edge(what: 'rise' | 'fall', atNs: number, writtenNs: number): void {
    this.#reset(atNs)
    if (this.#counter.select(atNs, what === 'rise' ? 'high' : 'low')) this.#change(what, atNs, writtenNs)
  }

  #reset(byNs: number): void {
    const atNs = this.#counter.resetBy(byNs)
    if (atNs !== null) this.#change('reset', atNs, null)
  }

  #change(what: Change['what'], atNs: number, writtenNs: number | null): void {
    const { rises, level } = this
    this.tell({ what, atNs, writtenNs, rises, level, resetsNs: what === 'rise' ? this.resetsNs : null })
  }
}
