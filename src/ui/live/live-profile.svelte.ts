import type { ControlMask } from '../../pad/controls.ts'
import { ALL_HIGH } from '../../port/pins.ts'
import type { InputMask, PinBits } from '../../port/pins.ts'
import { ControlsRunner } from '../../profile/run-controls.ts'
import type { Chord, Layer, Profile } from '../../profile/schema.ts'

/** Where time comes from, and who calls back when it has gone on. */
export interface LiveClock {
  nowMs(): number
  /** Calls once, at the next frame. */
  nextFrame(run: () => void): void
}

/**
 * The open profile in real time, with the controls that are held on this page, as it runs in an adapter whose power-on is over. Repeats
 * that count reads stay pressed: nothing reads here. Frames are asked for only while time alone may change something.
 */
export class LiveProfile {
  readonly #clock: LiveClock
  readonly #runner: ControlsRunner
  #profile: Profile
  #awaitsFrame = false

  /** Inputs that the profile puts on the port now. */
  inputs = $state.raw<InputMask>(0)
  /** What stands on the pins at rest, select high. */
  restPins = $state.raw<PinBits>(ALL_HIGH)
  /** What controls and chords ask for, before opposite directions and repeat. */
  asked = $state.raw<InputMask>(0)
  layersOn = $state.raw<readonly Layer[]>([])
  chordsOn = $state.raw<readonly Chord[]>([])
  /** Controls that wait for the rest of a chord. */
  waiting = $state.raw<ControlMask>(0)

  constructor(profile: Profile, clock: LiveClock) {
    this.#clock = clock
    this.#profile = profile
    this.#runner = ControlsRunner.afterPowerOn(profile)
  }

  /** A new meaning of the controls. What is held stays held; what was toggled is off. */
  load(profile: Profile): void {
    if (profile === this.#profile) return
    this.#profile = profile
    this.#runner.load(profile, 0, this.#nowMs)
    this.#show()
  }

  /** Exactly these controls are held from now on. */
  hold(held: ControlMask): void {
    this.#runner.report(held, this.#nowMs)
    this.#show()
  }

  get #nowMs(): number {
    return Math.floor(this.#clock.nowMs())
  }

  #show(): void {
    const runner = this.#runner
    this.asked = runner.asked
    this.layersOn = runner.layersOn
    this.chordsOn = runner.chordsOn
    this.waiting = runner.waiting
    this.inputs = runner.inputs
    this.restPins = runner.pinsAt(0, 'high')
    if (this.#awaitsFrame || !runner.awaitsTime) return
    this.#awaitsFrame = true
    this.#clock.nextFrame(() => {
      this.#awaitsFrame = false
      runner.tick(this.#nowMs)
      this.#show()
    })
  }
}

/** A page that is not shown gets no frames, and time goes on. */
const WITHOUT_FRAMES_MS = 100

/** The page's own time. */
export const pageClock: LiveClock = {
  nowMs: () => performance.now(),
  nextFrame(run) {
    const once = () => {
      cancelAnimationFrame(frame)
      clearTimeout(timer)
      run()
    }
    const frame = requestAnimationFrame(once)
    const timer = setTimeout(once, WITHOUT_FRAMES_MS)
  },
}
