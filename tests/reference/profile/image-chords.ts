import type { ControlMask } from '../../../src/pad/controls.ts'
import type { InputMask } from '../../../src/port/pins.ts'
import { CHORD_BYTES } from '../../../src/profile/image-layout.ts'

const CONTROL_COUNT = 32

/**
 * The chords of an image at work, by masks and counters, as a small chip keeps them. The same meaning as `chords.ts`, which keeps
 * the moments instead; it shares nothing with it but IMAGE.md.
 */
export class ImageChords {
  readonly #view: DataView
  readonly #members: ControlMask
  readonly #longestMs = new Uint8Array(CONTROL_COUNT)
  #held = 0
  #waiting = 0
  #spent = 0
  readonly #waitedMs = new Uint8Array(CONTROL_COUNT)
  readonly #echoMs = new Uint8Array(CONTROL_COUNT)
  /** Bit by bit, the chords that are on. */
  #on = 0

  /** @param view of a sound image, from the first chord on */
  constructor(
    view: DataView,
    readonly count: number,
  ) {
    this.#view = view
    let members = 0
    for (let k = 0; k < count; k++) {
      members |= this.#controls(k)
      for (let control = 0; control < CONTROL_COUNT; control++)
        if ((this.#controls(k) >>> control) & 1)
          this.#longestMs[control] = Math.max(this.#longestMs[control] ?? 0, this.#withinMs(k))
    }
    this.#members = members
  }

  #controls(k: number): ControlMask {
    return this.#view.getUint32(k * CHORD_BYTES, true)
  }
  #withinMs(k: number): number {
    return this.#view.getUint16(k * CHORD_BYTES + 6, true)
  }

  /** Exactly these controls are held from now on. */
  hold(held: ControlMask, mayWait: boolean): void {
    const up = this.#held & ~held
    const down = held & ~this.#held & this.#members
    for (let k = 0; k < CONTROL_COUNT; k++) {
      const bit = 1 << k
      if (up & this.#waiting & bit)
        this.#echoMs[k] = Math.max(this.#echoMs[k] ?? 0, this.#waitedMs[k] ?? 0, 1)
      if (down & bit) this.#waitedMs[k] = 0
    }
    for (let k = 0; k < this.count; k++) if (this.#controls(k) & up) this.#on &= ~(1 << k)
    this.#waiting &= ~up
    this.#spent &= ~up
    if (mayWait) this.#waiting |= down
    this.#held = held
  }

  /** A millisecond passed. */
  millisecond(): void {
    for (let k = 0; k < CONTROL_COUNT; k++) {
      if ((this.#waiting >>> k) & 1) this.#waitedMs[k] = (this.#waitedMs[k] ?? 0) + 1
      this.#echoMs[k] = Math.max(0, (this.#echoMs[k] ?? 0) - 1)
    }
  }

  /** Chords first, in their order; then whoever has waited for long enough passes. */
  settle(): void {
    for (let k = 0; k < this.count; k++) {
      const controls = this.#controls(k)
      if (controls & ~this.#waiting || !this.#cameWithin(controls, this.#withinMs(k))) continue
      this.#on |= 1 << k
      this.#waiting &= ~controls
      this.#spent |= controls
    }
    for (let k = 0; k < CONTROL_COUNT; k++)
      if ((this.#waitedMs[k] ?? 0) >= (this.#longestMs[k] ?? 0)) this.#waiting &= ~(1 << k)
  }

  #cameWithin(controls: ControlMask, ms: number): boolean {
    for (let k = 0; k < CONTROL_COUNT; k++)
      if ((controls >>> k) & 1 && (this.#waitedMs[k] ?? 0) > ms) return false
    return true
  }

  /** Whether time alone may change what passes. */
  get busy(): boolean {
    return this.#waiting !== 0 || this.#echoMs.some((ms) => ms > 0)
  }

  get passing(): ControlMask {
    let passing = this.#held & ~this.#waiting & ~this.#spent
    for (let k = 0; k < CONTROL_COUNT; k++) if ((this.#echoMs[k] ?? 0) > 0) passing |= 1 << k
    return passing >>> 0
  }

  /** The inputs of the chords that are on. */
  get inputs(): InputMask {
    let inputs = 0
    for (let k = 0; k < this.count; k++)
      if ((this.#on >> k) & 1) inputs |= this.#view.getUint16(k * CHORD_BYTES + 4, true)
    return inputs
  }
}
