import { PadReader } from '../../pad/extract.ts'
import type { PadState } from '../../pad/extract.ts'
import { Sticks } from '../../pad/hold.ts'
import type { StickPair } from '../../pad/hold.ts'
import type { Layout } from '../../pad/layout/schema.ts'
import type { PadNow } from './pad-now.ts'

/** Reads a pad while the stick settings may change. */
export class LiveReader {
  readonly #pad: PadReader
  #sticks: Sticks

  constructor(layout: Pick<Layout, 'extractors'>, settings: StickPair) {
    this.#pad = new PadReader(layout)
    this.#sticks = new Sticks(settings)
  }

  setSticks(settings: StickPair): PadNow {
    this.#sticks = new Sticks(settings)
    return this.#now(this.#pad.state)
  }

  /** @param number of the report, 0 for none; it is no part of the data */
  report(number: number, data: Uint8Array): PadNow {
    return this.#now(this.#pad.reportData(number, data))
  }

  #now(state: PadState): PadNow {
    return { held: this.#sticks.hold(state), sticks: { left: state.left, right: state.right } }
  }
}
