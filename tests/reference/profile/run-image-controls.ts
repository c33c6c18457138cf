import type { ControlMask } from '../../../src/pad/controls.ts'
import type { Replier } from '../../../src/port/engine.ts'
import type { InputMask, Level, PinBits } from '../../../src/port/pins.ts'
import { ImageChords } from './image-chords.ts'
import { AT, REPEAT_KINDS_BYTES, STICK_BYTES } from '../../../src/profile/image-layout.ts'
import { ImageRunner } from './run-image.ts'

const JUDGED_AFTER_MS = 500

/** An image and what of it is at work. */
interface Running {
  readonly runner: ImageRunner
  readonly chords: ImageChords
}

function start(image: Uint8Array): Running {
  const bytes = new Uint8Array(image)
  const runner = new ImageRunner(bytes)
  const isOld = bytes[AT.version] === 1
  const chordsAt = isOld ? 0 : runner.lateAt + REPEAT_KINDS_BYTES + 2 * STICK_BYTES
  const chords = new ImageChords(new DataView(bytes.buffer, chordsAt), isOld ? 0 : (bytes[AT.chords] ?? 0))
  return { runner, chords }
}

/**
 * An image with the controls that are held, and the rules that take time, read from its bytes as the firmware reads them: it stands
 * for the firmware where no chip is at hand. `run-controls.ts` does the same from the profile; property tests hold one against the
 * other. Times are whole milliseconds of one clock; {@link tick} every millisecond.
 */
export class ImageControlsRunner implements Replier {
  #running: Running
  #bank: number
  #nowMs = 0
  #held = 0
  #unchangedMs = 0
  #reported = false
  #sinceReportMs = 0
  #judged = false
  #limited = false
  #limitedNext = false
  #powerOnBank = 0
  #due = false
  #wanted = 0

  /**
   * @param image an image that `decodeImage` found sound
   * @param bank that it runs from, 1 to 4; 0 for none
   */
  constructor(image: Uint8Array, bank = 0) {
    this.#running = start(image)
    this.#bank = bank
  }

  /** The pad says that exactly these controls are held. */
  report(held: ControlMask, nowMs: number): void {
    this.#live(nowMs)
    this.#reported = true
    this.#rules()
    this.#hold(held)
    this.#rules()
  }

  /** Whoever held something has gone; no report of a pad. */
  letGo(nowMs: number): void {
    this.#live(nowMs)
    this.#rules()
    this.#hold(0)
  }

  tick(nowMs: number): void {
    this.#live(nowMs)
    this.#rules()
    this.#settle()
  }

  /** Another image runs from now on, with the same controls held. Limited to the first cycle stays so. */
  load(image: Uint8Array, bank: number, nowMs: number): void {
    if (this.#reported) this.#sinceReportMs += nowMs - this.#nowMs
    this.#nowMs = nowMs
    this.#unchangedMs = 0
    this.#wanted = 0
    this.#bank = bank
    this.#running = start(image)
    if (this.#limited) {
      this.#running.runner.limitToFirstCycle()
      this.#running.runner.readEnded()
    }
    this.#running.chords.hold(this.#held, false)
    this.#press()
  }

  /** An idle reset came. */
  readEnded(): void {
    if (this.#limitedNext) this.#running.runner.limitToFirstCycle()
    this.#running.runner.readEnded()
    this.#limited = this.#limitedNext
    if (this.#powerOnBank > 0) this.#due = true
  }

  /**
   * The bank to change to, told once: 0 for none.
   *
   * @param atRest no rise of select since the last idle reset
   */
  takeWish(atRest: boolean): { readonly bank: number; readonly remembered: boolean } {
    if (this.#due) {
      const wish = { bank: this.#powerOnBank, remembered: false }
      this.#due = false
      this.#powerOnBank = 0
      return wish
    }
    const bank = atRest && this.#held === 0 ? this.#wanted : 0
    if (bank > 0) this.#wanted = 0
    return { bank, remembered: bank > 0 }
  }

  get inputs(): InputMask {
    return this.#running.runner.inputs
  }
  get asked(): InputMask {
    return this.#running.runner.asked
  }
  get passing(): ControlMask {
    return this.#running.chords.passing
  }
  get firstCycleOnly(): boolean {
    return this.#limited
  }
  get idleResetNs(): number {
    return this.#running.runner.idleResetNs
  }
  get delayNs(): number {
    return this.#running.runner.delayNs
  }
  pinsAt(rises: number, level: Level): PinBits {
    return this.#running.runner.pinsAt(rises, level)
  }

  /** Time up to this millisecond, in which what waits is settled but for the last one: a report may come with that. */
  #live(nowMs: number): void {
    const { chords } = this.#running
    while (this.#nowMs < nowMs) {
      if (!chords.busy) {
        this.#pass(nowMs - this.#nowMs)
        break
      }
      this.#pass(1)
      chords.millisecond()
      if (this.#nowMs < nowMs) {
        this.#settle()
      }
    }
  }

  #pass(ms: number): void {
    this.#nowMs += ms
    this.#unchangedMs += ms
    if (this.#reported) this.#sinceReportMs += ms
    this.#running.runner.msPassed(ms)
  }

  #hold(held: number): void {
    if (held !== this.#held) this.#unchangedMs = 0
    this.#held = held
    this.#running.chords.hold(held, this.#judged)
    this.#settle()
  }

  #settle(): void {
    this.#running.chords.settle()
    this.#press()
  }

  #press(): void {
    const { runner, chords } = this.#running
    if (this.#judged) runner.setControls(chords.passing, chords.inputs)
    else runner.follow(chords.passing)
  }

  #rules(): void {
    const { runner } = this.#running
    if (this.#judged) {
      const bank = runner.bankChange(this.#held, this.#unchangedMs, this.#bank)
      if (bank !== null) this.#wanted = bank
      return
    }
    if (!this.#reported || this.#sinceReportMs < JUDGED_AFTER_MS) return
    this.#judged = true
    this.#unchangedMs = 0
    const outcome = runner.powerOn(this.#held)
    if (outcome.kind === 'bank') this.#powerOnBank = outcome.bank
    if (outcome.kind === 'first-cycle-only') this.#limitedNext = true
    this.#press()
  }
}
