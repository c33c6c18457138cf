import type { ChangeSink, Complaint } from './capture.ts'
import { t } from './vcd-texts.ts'

/** Changes in a full block: large enough that a call is nothing beside it, small enough for a processor's cache. */
export const BLOCK_CHANGES = 4096

/** Gathers changes and hands them on in blocks. */
export class ChangeBlock {
  readonly timesNs = new Float64Array(BLOCK_CHANGES)
  readonly values = new Uint8Array(BLOCK_CHANGES)
  /** How many of the present block's places are taken. */
  count = 0
  readonly #sink: ChangeSink
  readonly #maxChanges: number
  #handed = 0

  constructor(sink: ChangeSink, maxChanges: number) {
    this.#sink = sink
    this.#maxChanges = maxChanges
  }

  /** Places that may be taken before {@link add} has to be asked. */
  get room(): number {
    return Math.min(BLOCK_CHANGES, this.#maxChanges - this.#handed)
  }

  add(atNs: number, value: number): Complaint {
    if (this.count === BLOCK_CHANGES) this.hand()
    if (this.count === this.room) return t.tooManyChanges({ most: this.#maxChanges })
    this.timesNs[this.count] = atNs
    this.values[this.count] = value
    this.count++
    return undefined
  }

  /** Hands on what there is. */
  hand(): void {
    if (this.count > 0) this.#sink(this.timesNs.subarray(0, this.count), this.values.subarray(0, this.count))
    this.#handed += this.count
    this.count = 0
  }
}
