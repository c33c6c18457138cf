import type { ControlMask } from './controls.ts'
import { PadReader } from './extract.ts'
import type { PadState } from './extract.ts'
import type { Layout } from './layout/schema.ts'
import { stickDirection } from './stick/direction.ts'
import { stickNumbers } from './stick/numbers.ts'
import type { StickSettings } from './stick/settings.ts'

export interface StickPair {
  readonly left: StickSettings
  readonly right: StickSettings
}

export type StickSide = keyof StickPair

/** Bit of `stick-left-up` and `stick-right-up`; the other directions follow in the order of `stick/direction.ts`. */
const FIRST_BIT = { left: 17, right: 21 } as const

/** Holds the controls of two sticks beside those that a pad's extractors hold. */
export class Sticks {
  readonly #sticks
  readonly #held = { left: 0, right: 0 }

  constructor(settings: StickPair) {
    this.#sticks = (['left', 'right'] as const).map((side) => ({
      side,
      gate: settings[side].gate,
      numbers: stickNumbers(settings[side]),
    }))
  }

  /** Everything held in this state of the pad. */
  hold(state: PadState): ControlMask {
    let mask = state.controls
    for (const { side, gate, numbers } of this.#sticks) {
      const { x, y } = state[side]
      this.#held[side] = stickDirection(numbers, gate, x, y, this.#held[side])
      mask |= this.#held[side] << FIRST_BIT[side]
    }
    return mask >>> 0
  }
}

/** From the reports of a pad to all that is held. */
export class HeldReader {
  readonly #pad: PadReader
  readonly #sticks: Sticks

  constructor(layout: Pick<Layout, 'extractors'>, sticks: StickPair) {
    this.#pad = new PadReader(layout)
    this.#sticks = new Sticks(sticks)
  }

  /** A report with its number in front, where the pad's reports have numbers. */
  report(bytes: Uint8Array): ControlMask {
    return this.#sticks.hold(this.#pad.report(bytes))
  }
}
