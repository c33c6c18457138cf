import type { ControlMask } from '../../pad/controls.ts'
import { ALL_HIGH } from '../../port/pins.ts'
import type { InputMask, PinBits } from '../../port/pins.ts'
import { Chords } from '../../profile/chords.ts'
import { LayersOn } from '../../profile/layers.ts'
import { ProfileRunner } from '../../profile/run-profile.ts'
import type { Chord, Layer, Profile } from '../../profile/schema.ts'

/** Where time comes from, and who calls back when it has gone on. */
export interface PlayClock {
  nowMs(): number
  /** Calls once, at the next frame. */
  nextFrame(run: () => void): void
}

/**
 * The open profile under the player's hands, in real time: chords, layers, opposite directions and repeats in ms as the adapter does them
 * (`src/profile/run-hands.ts` is the whole of it, with what happens at power-on and with banks, which is the adapter's alone). Repeats
 * that count reads stay pressed: nothing reads here. Frames are asked for only while time alone may change something.
 */
export class Play {
  readonly #clock: PlayClock
  #profile: Profile
  #runner: ProfileRunner
  #chords: Chords
  #layers: LayersOn
  #nowMs: number
  #held: ControlMask = 0
  #passing: ControlMask = 0
  #chorded: InputMask = 0
  #layersOn: readonly Layer[] = []
  #awaitsFrame = false

  /** Inputs that the profile puts on the port now. */
  inputs = $state.raw<InputMask>(0)
  /** What stands on the pins at rest, select high. */
  restPins = $state.raw<PinBits>(ALL_HIGH)
  /** Controls that chords let through. */
  passing = $state.raw<ControlMask>(0)
  /** Inputs that chords ask for. */
  chorded = $state.raw<InputMask>(0)
  layersOn = $state.raw<readonly Layer[]>([])
  chordsOn = $state.raw<readonly Chord[]>([])
  /** Controls that wait for the rest of a chord. */
  waiting = $state.raw<ControlMask>(0)

  constructor(profile: Profile, clock: PlayClock) {
    this.#clock = clock
    this.#profile = profile
    this.#runner = new ProfileRunner(profile)
    this.#chords = new Chords(profile.chords)
    this.#layers = new LayersOn(profile.layers)
    this.#nowMs = this.#now()
  }

  /** A new meaning of the controls. What is held stays held; what was toggled is off. */
  load(profile: Profile): void {
    if (profile === this.#profile) return
    this.#nowMs = this.#now()
    this.#profile = profile
    this.#runner = new ProfileRunner(profile)
    this.#layers = new LayersOn(profile.layers)
    this.#chords = new Chords(profile.chords)
    this.#chords.hold(this.#held, this.#nowMs, false)
    this.#press()
    this.#show()
  }

  /** Exactly these controls are held from now on. */
  hold(held: ControlMask): void {
    this.#liveUntil(this.#now())
    this.#held = held
    this.#chords.hold(held, this.#nowMs)
    this.#settle()
    this.#show()
  }

  #now(): number {
    return Math.floor(this.#clock.nowMs())
  }

  /** All that comes before this millisecond; what comes with it waits for the report that may come with it too. */
  #liveUntil(nowMs: number): void {
    while (this.#nowMs < nowMs) {
      const stepMs = this.#chords.busy ? 1 : nowMs - this.#nowMs
      this.#nowMs += stepMs
      this.#runner.msPassed(stepMs)
      if (this.#nowMs < nowMs) this.#settle()
    }
  }

  #settle(): void {
    this.#chords.look(this.#nowMs)
    if (this.#chords.passing !== this.#passing || this.#chords.inputs !== this.#chorded) this.#press()
  }

  #press(): void {
    const { passing, inputs } = this.#chords
    this.#passing = passing
    this.#chorded = inputs
    this.#layersOn = this.#layers.pass(passing)
    this.#runner.setControls(passing, inputs)
  }

  #show(): void {
    this.passing = this.#passing
    this.chorded = this.#chorded
    this.layersOn = this.#layersOn
    this.chordsOn = this.#chords.on
    this.waiting = this.#chords.waiting
    this.inputs = this.#runner.inputs
    this.restPins = this.#runner.pinsAt(0, 'high')
    if (this.#awaitsFrame || !this.#isPending) return
    this.#awaitsFrame = true
    this.#clock.nextFrame(() => this.#frame())
  }

  #frame(): void {
    this.#awaitsFrame = false
    this.#liveUntil(this.#now())
    this.#settle()
    this.#show()
  }

  get #isPending(): boolean {
    return this.#chords.busy || (this.#held !== 0 && repeatsInMs(this.#profile))
  }
}

const repeatsInMs = ({ repeat }: Profile): boolean =>
  Object.values(repeat).some(({ kind }) => kind === 'time')

/** A page that is not shown gets no frames, and the hands go on. */
const WITHOUT_FRAMES_MS = 100

/** The page's own time. */
export const pageClock: PlayClock = {
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
