import type { Control } from '../../../src/pad/controls.ts'
import { ASKS } from '../../../src/pad/learn/controls-to-ask.ts'
import type { Ask } from '../../../src/pad/learn/controls-to-ask.ts'
import { learnedLayout } from '../../../src/pad/learn/layout.ts'
import { Learner } from '../../../src/pad/learn/learner.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'

export const button = (bit: number): ReportPlace => ({
  kind: 'button',
  field: { report: 0, bit, bits: 1, signed: false },
  count: 1,
  least: 0,
  most: 1,
})
export const axis = (byte: number): ReportPlace => ({
  kind: 'axis',
  field: { report: 0, bit: 8 * byte, bits: 8, signed: false },
  count: 1,
  least: 0,
  most: 255,
})
export const press = (control: Control): Ask => ({ kind: 'press', control })
export const LEFT_STICK = ASKS.filter((ask) => ask.kind !== 'press' && ask.stick === 'left')

/** Somebody with a pad that sends every so many ms. */
export class User {
  readonly learner: Learner
  nowMs = 0
  readonly #rest: readonly number[]
  readonly #periodMs: number

  constructor(places: readonly ReportPlace[], asks: readonly Ask[], rest: readonly number[], periodMs = 8) {
    this.learner = new Learner(places, 0, asks)
    this.#rest = rest
    this.#periodMs = periodMs
  }

  /** @param at bytes by the share of the time that has passed */
  does(ms: number, at: (share: number) => readonly number[] = () => this.#rest): this {
    const from = this.nowMs
    while (this.nowMs < from + ms) {
      this.nowMs += this.#periodMs
      this.learner.report(0, Uint8Array.from(at((this.nowMs - from) / ms)), this.nowMs)
    }
    return this
  }

  holds(ms: number, ...bytes: readonly number[]): this {
    return this.does(ms, () => bytes)
  }

  /** Presses and lets go. */
  taps(...bytes: readonly number[]): this {
    return this.does(200)
      .holds(200, ...bytes)
      .does(300)
  }

  silent(ms: number): this {
    for (const end = this.nowMs + ms; this.nowMs < end;) this.learner.tick((this.nowMs += 50))
    return this
  }

  get view() {
    return this.learner.view
  }

  get outcome() {
    return learnedLayout(this.learner.learned, 'Odd', {
      via: 'hid',
      vendorId: 1,
      productId: 2,
      descriptorCrc32: null,
    })
  }
}
