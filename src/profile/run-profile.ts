import type { ControlMask } from '../pad/controls.ts'
import { phaseAt, pinsOf } from '../port/chart.ts'
import type { Replier } from '../port/engine.ts'
import { INPUTS, inputBit } from '../port/pins.ts'
import type { Input, InputMask, Level, PinBits } from '../port/pins.ts'
import { inputsThrough } from './held-controls.ts'
import { LayersOn } from './layers.ts'
import { AXES, applyOpposite, firstOfPair } from './opposite.ts'
import type { FirstHeld } from './opposite.ts'
import type { Layer, Profile, Repeat } from './schema.ts'

const pressedSteps = (repeat: Repeat): number =>
  repeat.kind === 'reads' ? repeat.pressedReads : repeat.pressedMs

/** Reads or ms after which a repeat stands where it stood. */
const repeatSteps = (repeat: Repeat): number =>
  pressedSteps(repeat) + (repeat.kind === 'reads' ? repeat.releasedReads : repeat.releasedMs)

const AXIS_NAMES = ['vertical', 'horizontal'] as const

/**
 * A profile at work: controls that pass go in, pins come out. The same meaning as its image (`tests/reference/profile/run-image.ts`), read from the
 * profile itself; property tests hold the two against each other on every pin. What takes time between a control
 * and here (chords, power-on, bank changes) is in `run-controls.ts`.
 */
export class ProfileRunner implements Replier {
  readonly idleResetNs: number
  readonly delayNs: number
  readonly #layersOn: LayersOn
  #asked: InputMask = 0
  #first: Record<(typeof AXIS_NAMES)[number], FirstHeld> = { vertical: 0, horizontal: 0 }
  /** For each repeated input that is held: reads or ms since it was pressed, within its pattern. */
  #step = new Map<Input, number>()
  #firstCycleOnly = false
  #firstCycleOnlyNext = false

  constructor(private readonly profile: Profile) {
    this.idleResetNs = profile.idleResetNs
    this.delayNs = profile.delayNs
    this.#layersOn = new LayersOn(profile.layers)
  }

  /**
   * Exactly these controls pass from now on. Without chords they are what the player holds.
   *
   * @param besides inputs that chords ask for
   */
  setControls(passing: ControlMask, besides: InputMask = 0): void {
    const { mapping } = this.profile
    this.ask(inputsThrough(mapping, this.#layersOn.pass(passing), passing) | besides)
  }

  /** Exactly these controls pass from now on, which toggles layers, but nothing is pressed by it: power-on rules are still to come. */
  follow(passing: ControlMask): void {
    this.#layersOn.pass(passing)
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

  /** An idle reset came: repeats in reads advance, and what waited for the end of the read takes effect. */
  readEnded(): void {
    this.#advance('reads', 1)
    this.#firstCycleOnly = this.#firstCycleOnlyNext
  }

  /** So many milliseconds passed: repeats in ms advance. Whoever has no clock may leave it out: what repeats in ms then stays pressed. */
  msPassed(count: number): void {
    this.#advance('time', count)
  }

  #advance(kind: Repeat['kind'], count: number): void {
    for (const [input, step] of this.#step) {
      const repeat = this.profile.repeat[input]
      if (repeat?.kind === kind) this.#step.set(input, (step + count) % repeatSteps(repeat))
    }
  }

  /** From the next idle reset on the pad stays on its first cycle for good. */
  limitToFirstCycle(): void {
    this.#firstCycleOnlyNext = true
  }

  /** What controls and chords ask for, before opposite directions and repeat. */
  get asked(): InputMask {
    return this.#asked
  }

  /** What reaches the port: after opposite directions and repeat. */
  get inputs(): InputMask {
    let inputs = this.#through
    for (const [input, step] of this.#step) {
      const repeat = this.profile.repeat[input]
      if (repeat && step >= pressedSteps(repeat)) inputs &= ~inputBit(input)
    }
    return inputs
  }

  /** The layers that are on. */
  get layersOn(): readonly Layer[] {
    return this.#layersOn.on
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
