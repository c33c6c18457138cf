import type { ControlMask } from '../pad/controls.ts'
import type { Replier } from '../port/engine.ts'
import type { InputMask, Level, PinBits } from '../port/pins.ts'
import { targetBank } from './bank-holds.ts'
import { Chords } from './chords.ts'
import { bankChangeFor, powerOnOutcome } from './held-controls.ts'
import { ProfileRunner } from './run-profile.ts'
import type { Chord, Layer, Profile } from './schema.ts'

/** Power-on rules are judged so long after the pad's first report (IMAGE.md, "Power-on"). */
export const JUDGED_AFTER_MS = 500

/** The bank that becomes active, 1 to 4; 0 for none. */
interface BankWish {
  readonly bank: number
  /** Also when power comes on again. */
  readonly remembered: boolean
}
const NO_WISH: BankWish = { bank: 0, remembered: false }

/**
 * A profile with the controls that are held, and the rules that take time: chords, power-on, bank changes, repeats in ms. Times are whole
 * milliseconds of one clock that only goes forward; let it {@link tick} every millisecond, or what time brings comes late.
 * The firmware's `input-state.c` does the same, and `tests/reference/profile` once more from the bytes of the image.
 */
export class ControlsRunner implements Replier {
  #profile: Profile
  #runner: ProfileRunner
  #chords: Chords
  /** That the profile runs from; 0 for none. */
  #bank: number
  #nowMs = 0
  #held: ControlMask = 0
  #heldSinceMs = 0
  /** Controls that passed last, and inputs of the chords that were on. */
  #passing: ControlMask = 0
  #chorded: InputMask = 0
  #reportedMs: number | null = null
  #judged = false
  #firstCycleOnly = false
  #firstCycleOnlyNext = false
  #powerOnBank = 0
  #powerOnBankDue = false
  #wantedBank = 0

  constructor(profile: Profile, bank = 0) {
    this.#profile = profile
    this.#bank = bank
    this.#runner = new ProfileRunner(profile)
    this.#chords = new Chords(profile.chords)
  }

  /** A profile that has run for long: the rules at power-on are over, and nothing was held then. */
  static afterPowerOn(profile: Profile): ControlsRunner {
    const runner = new ControlsRunner(profile)
    runner.#judged = true
    return runner
  }

  /** The pad says that exactly these controls are held. */
  report(held: ControlMask, nowMs: number): void {
    this.#liveUntil(nowMs)
    this.#reportedMs ??= nowMs
    this.#judge()
    this.#hold(held)
    this.#judge()
  }

  /** Whoever held something has gone; no report of a pad. */
  letGo(nowMs: number): void {
    this.#liveUntil(nowMs)
    this.#judge()
    this.#hold(0)
  }

  tick(nowMs: number): void {
    this.#liveUntil(nowMs)
    this.#judge()
    this.#settle()
  }

  /** Another profile runs from now on, with the same controls held. Limited to the first cycle stays so. */
  load(profile: Profile, bank: number, nowMs: number): void {
    this.#profile = profile
    this.#bank = bank
    this.#nowMs = nowMs
    this.#heldSinceMs = nowMs
    this.#wantedBank = 0
    this.#runner = new ProfileRunner(profile)
    if (this.#firstCycleOnly) this.#limit()
    this.#chords = new Chords(profile.chords)
    this.#chords.hold(this.#held, nowMs, false)
    this.#press()
  }

  /** An idle reset came. */
  readEnded(): void {
    if (this.#firstCycleOnlyNext) this.#runner.limitToFirstCycle()
    this.#runner.readEnded()
    this.#firstCycleOnly = this.#firstCycleOnlyNext
    this.#powerOnBankDue ||= this.#powerOnBank !== 0
  }

  /**
   * The bank that becomes active, returned once.
   *
   * @param atRest no rise of select since the last idle reset
   */
  takeWish(atRest: boolean): BankWish {
    if (this.#powerOnBankDue) {
      const bank = this.#powerOnBank
      this.#powerOnBank = 0
      this.#powerOnBankDue = false
      return { bank, remembered: false }
    }
    if (this.#wantedBank === 0 || !atRest || this.#held !== 0) return NO_WISH
    const bank = this.#wantedBank
    this.#wantedBank = 0
    return { bank, remembered: true }
  }

  /** What reaches the port. */
  get inputs(): InputMask {
    return this.#runner.inputs
  }
  /** What controls and chords ask for, before opposite directions and repeat. */
  get asked(): InputMask {
    return this.#runner.asked
  }
  /** Controls that chords let through to mapping and layers. */
  get passing(): ControlMask {
    return this.#passing
  }
  /** Inputs that chords ask for. */
  get chorded(): InputMask {
    return this.#chorded
  }
  get chordsOn(): readonly Chord[] {
    return this.#chords.on
  }
  /** Controls that wait for the rest of a chord. */
  get waiting(): ControlMask {
    return this.#chords.waiting
  }
  get layersOn(): readonly Layer[] {
    return this.#runner.layersOn
  }
  /** Whether time alone may change what reaches the port. */
  get awaitsTime(): boolean {
    const repeats = Object.values(this.#profile.repeat).some(({ kind }) => kind === 'time')
    return this.#chords.busy || (this.#held !== 0 && repeats)
  }
  /** Whether row 0 answers always. */
  get firstCycleOnly(): boolean {
    return this.#firstCycleOnly
  }
  get idleResetNs(): number {
    return this.#profile.idleResetNs
  }
  get delayNs(): number {
    return this.#profile.delayNs
  }
  pinsAt(rises: number, level: Level): PinBits {
    return this.#runner.pinsAt(rises, level)
  }

  /** All that comes before this millisecond; what comes with it waits for the report that may come with it too. */
  #liveUntil(nowMs: number): void {
    while (this.#nowMs < nowMs) {
      // Nothing waits: time is counted, not lived.
      const stepMs = this.#chords.busy ? 1 : nowMs - this.#nowMs
      this.#nowMs += stepMs
      this.#runner.msPassed(stepMs)
      if (this.#nowMs < nowMs) this.#settle()
    }
  }

  #hold(held: ControlMask): void {
    if (held !== this.#held) this.#heldSinceMs = this.#nowMs
    this.#held = held
    this.#chords.hold(held, this.#nowMs, this.#judged)
    this.#settle()
  }

  #settle(): void {
    this.#chords.look(this.#nowMs)
    const { passing, inputs } = this.#chords
    if (passing !== this.#passing || inputs !== this.#chorded) this.#press()
  }

  #press(): void {
    const { passing, inputs } = this.#chords
    this.#passing = passing
    this.#chorded = inputs
    if (this.#judged) this.#runner.setControls(passing, inputs)
    else this.#runner.follow(passing)
  }

  /** Power-on rules first, bank changes from then on. */
  #judge(): void {
    if (this.#judged) {
      const heldMs = this.#nowMs - this.#heldSinceMs
      const target = bankChangeFor(this.#profile.bankChange, this.#held, heldMs)
      if (target !== null) this.#wantedBank = targetBank(target, this.#bank)
      return
    }
    if (this.#reportedMs === null || this.#nowMs - this.#reportedMs < JUDGED_AFTER_MS) return
    this.#judged = true
    this.#heldSinceMs = this.#nowMs
    const then = powerOnOutcome(this.#profile.powerOn, this.#held)
    if (then?.kind === 'first-cycle-only') this.#firstCycleOnlyNext = true
    if (then?.kind === 'bank') this.#powerOnBank = then.bank
    this.#press()
  }

  #limit(): void {
    this.#runner.limitToFirstCycle()
    this.#runner.readEnded()
  }
}
