import type { ControlMask } from '../pad/controls.ts'
import { phaseAt, pinsOf } from '../port/chart.ts'
import type { Replier } from '../port/engine.ts'
import { INPUTS, inputBit } from '../port/pins.ts'
import type { Input, InputMask, Level, PinBits } from '../port/pins.ts'
import { inputsFor } from './hands.ts'
import { AXES, applyOpposite, firstOfPair } from './opposite.ts'
import type { FirstHeld } from './opposite.ts'
import type { Profile } from './schema.ts'

const AXIS_NAMES = ['vertical', 'horizontal'] as const

/**
 * A profile at work: controls go in, pins come out. The same meaning as its image (`run-image.ts`), read from the
 * profile itself; property tests hold the two against each other on every pin.
 */
export class ProfileRunner implements Replier {
  readonly idleResetNs: number
  readonly delayNs: number
  #asked: InputMask = 0
  #first: Record<(typeof AXIS_NAMES)[number], FirstHeld> = { vertical: 0, horizontal: 0 }
  /** For each repeated input that is held: reads since it was pressed, within its pattern. */
  #step = new Map<Input, number>()
  #firstCycleOnly = false
  #firstCycleOnlyNext = false

  constructor(private readonly profile: Profile) {
    this.idleResetNs = profile.idleResetNs
    this.delayNs = profile.delayNs
  }

  /** The player holds exactly these controls from now on. */
  setControls(held: ControlMask): void {
    this.ask(inputsFor(this.profile, held))
  }

  /** The port is asked for exactly these inputs from now on, whatever the mapping. */
  ask(inputs: InputMask): void {
    const before = this.#asked
    const wasThrough = this.#through
    this.#asked = inputs
    for (const axis of AXIS_NAMES)
      this.#first[axis] = firstOfPair(AXES[axis], before, inputs, this.#first[axis])
    for (const input of INPUTS) {
      if (!(this.#through & inputBit(input))) this.#step.delete(input)
      else if (!(wasThrough & inputBit(input))) this.#step.set(input, 0)
    }
  }

  /** An idle reset came: repeats advance, and what waited for the end of the read takes effect. */
  readEnded(): void {
    for (const [input, step] of this.#step) {
      const repeat = this.profile.repeat[input]
      if (repeat) this.#step.set(input, (step + 1) % (repeat.pressedReads + repeat.releasedReads))
    }
    this.#firstCycleOnly = this.#firstCycleOnlyNext
  }

  /** From the next idle reset on the pad stays on its first cycle for good. */
  limitToFirstCycle(): void {
    this.#firstCycleOnlyNext = true
  }

  /** What reaches the port: after opposite directions and repeat. */
  get inputs(): InputMask {
    let inputs = this.#through
    for (const [input, step] of this.#step) {
      const repeat = this.profile.repeat[input]
      if (repeat && step >= repeat.pressedReads) inputs &= ~inputBit(input)
    }
    return inputs
  }

  pinsAt(rises: number, level: Level): PinBits {
    return pinsOf(phaseAt(this.profile.chart, this.#firstCycleOnly ? 0 : rises, level), this.inputs)
  }

  /** What is asked for, less what the opposite-direction policies take away. */
  get #through(): InputMask {
    return AXIS_NAMES.reduce(
      (inputs, axis) => applyOpposite(this.profile.opposite[axis], AXES[axis], inputs, this.#first[axis]),
      this.#asked,
    )
  }
}
