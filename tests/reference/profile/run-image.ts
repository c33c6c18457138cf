import type { ControlMask } from '../../../src/pad/controls.ts'
import type { Replier } from '../../../src/port/engine.ts'
import type { InputMask, Level, PinBits } from '../../../src/port/pins.ts'
import { ok } from '../../../src/port/result.ts'
import type { Result } from '../../../src/port/result.ts'
import { decodeImage } from '../../../src/profile/decode-image.ts'
import type { ImageError } from '../../../src/profile/decode-image.ts'
import {
  AT,
  LAYER_HEAD_BYTES,
  NEXT_BANK_CODE,
  ROW_BYTES,
  RULE_BYTES,
} from '../../../src/profile/image-layout.ts'
import { layersAt } from '../../../src/profile/image-codes.ts'

/** What a rule of the image asks for: nothing, the first cycle for good, or a bank. */
export type PowerOnAnswer = { kind: 'none' } | { kind: 'first-cycle-only' } | { kind: 'bank'; bank: number }

const INPUT_COUNT = 12
const UP_DOWN = [1 << 0, 1 << 1] as const
const LEFT_RIGHT = [1 << 2, 1 << 3] as const
const LOW_CODE = 12
const HIGH_CODE = 13

/**
 * An image at work, read from its bytes as the adapter reads them: masks and offsets, no profile in between. It stands
 * for the firmware where no chip is at hand, and shares nothing with `run-profile.ts` but IMAGE.md, so that one can
 * be held against the other.
 */
export class ImageRunner implements Replier {
  readonly idleResetNs: number
  readonly delayNs: number
  /** Where the sections begin that a version 1 image does not have: repeats in ms, sticks, chords, pads. */
  readonly lateAt: number
  readonly #view: DataView
  readonly #cycles: number
  readonly #stays: boolean
  readonly #layersAt: number
  readonly #rulesAt: number
  /** Bit set of the inputs whose repeat counts ms. */
  readonly #inMs: number
  /** Controls that passed last, and toggled layers that are on, bit by bit. */
  #passed = 0
  #toggled = 0
  #asked = 0
  #first = 0
  #passing = 0
  readonly #steps = new Uint16Array(INPUT_COUNT)
  #firstCycleOnly = false
  #firstCycleOnlyNext = false

  /** @param image an image that `loadImage` found sound */
  constructor(image: Uint8Array) {
    // Not `slice`: on a Node Buffer that is a view into a larger pool.
    this.#view = new DataView(new Uint8Array(image).buffer)
    this.idleResetNs = this.#view.getUint32(AT.idleResetNs, true)
    this.delayNs = this.#view.getUint16(AT.delayNs, true)
    this.#cycles = this.#u8(AT.cycles)
    this.#stays = this.#u8(AT.after) === 1
    this.#layersAt = layersAt(this.#cycles + (this.#stays ? 1 : 0))
    let at = this.#layersAt
    for (let k = 0; k < this.#u8(AT.layers); k++) at = this.#afterLayer(at)
    this.#rulesAt = at
    this.lateAt = at + (this.#u8(AT.powerOnRules) + this.#u8(AT.bankChanges)) * RULE_BYTES
    this.#inMs = this.#u8(AT.version) === 1 ? 0 : this.#view.getUint16(this.lateAt, true)
  }

  #u8(at: number): number {
    return this.#view.getUint8(at)
  }
  #u32(at: number): number {
    return this.#view.getUint32(at, true)
  }

  #afterLayer(at: number): number {
    let bytes = LAYER_HEAD_BYTES
    for (let named = this.#view.getUint16(at + 4, true); named !== 0; named &= named - 1) bytes += 4
    return at + bytes
  }

  /**
   * Exactly these controls pass from now on. Without chords they are what the player holds.
   *
   * @param besides inputs that chords ask for
   */
  setControls(passing: ControlMask, besides: InputMask = 0): void {
    this.follow(passing)
    let asked = 0
    for (let k = 0; k < INPUT_COUNT; k++) if (this.#u32(AT.mapping + 4 * k) & passing) asked |= 1 << k
    let at = this.#layersAt
    for (let layer = 0; layer < this.#u8(AT.layers); layer++) {
      const isOn = this.#u8(at + 6) === 1 ? (this.#toggled >> layer) & 1 : this.#u32(at) & passing
      if (isOn !== 0) {
        const named = this.#view.getUint16(at + 4, true)
        let entry = at + LAYER_HEAD_BYTES
        for (let k = 0; k < INPUT_COUNT; k++) {
          if (!(named & (1 << k))) continue
          asked = this.#u32(entry) & passing ? asked | (1 << k) : asked & ~(1 << k)
          entry += 4
        }
      }
      at = this.#afterLayer(at)
    }
    this.#ask(asked | besides)
  }

  /** Exactly these controls pass from now on, which toggles layers, but nothing is pressed by it: power-on rules are still to come. */
  follow(passing: ControlMask): void {
    let at = this.#layersAt
    for (let layer = 0; layer < this.#u8(AT.layers); layer++) {
      const by = this.#u32(at)
      if (this.#u8(at + 6) === 1 && by & passing && !(by & this.#passed)) this.#toggled ^= 1 << layer
      at = this.#afterLayer(at)
    }
    this.#passed = passing
  }

  #ask(asked: number): void {
    let passing = asked
    for (const [axis, pair] of [UP_DOWN, LEFT_RIGHT].entries()) {
      const both = pair[0] | pair[1]
      if ((asked & both) !== both) {
        this.#first &= ~both
        continue
      }
      if (!(this.#first & both)) this.#first |= (this.#asked & both) === pair[1] ? pair[1] : pair[0]
      const policy = (this.#u8(AT.opposite) >> (2 * axis)) & 3
      if (policy !== 0) passing &= ~both
      if (policy === 2) passing |= this.#first & both
      if (policy === 3) passing |= both & ~this.#first
    }
    this.#asked = asked
    for (let k = 0; k < INPUT_COUNT; k++) if (passing & ~this.#passing & (1 << k)) this.#steps[k] = 0
    this.#passing = passing
  }

  /** An idle reset came. */
  readEnded(): void {
    this.#advance(~this.#inMs, 1)
    this.#firstCycleOnly = this.#firstCycleOnlyNext
  }

  /** So many whole milliseconds of the adapter's clock passed. */
  msPassed(count: number): void {
    this.#advance(this.#inMs, count)
  }

  #advance(which: InputMask, count: number): void {
    for (let k = 0; k < INPUT_COUNT; k++) {
      const turn = this.#u8(AT.repeat + 2 * k) + this.#u8(AT.repeat + 2 * k + 1)
      if (turn > 0 && which & this.#passing & (1 << k))
        this.#steps[k] = ((this.#steps[k] ?? 0) + count) % turn
    }
  }

  /** From the next idle reset on row 0 answers always. */
  limitToFirstCycle(): void {
    this.#firstCycleOnlyNext = true
  }

  /** What controls and chords ask for. */
  get asked(): InputMask {
    return this.#asked
  }

  /** What reaches the port. */
  get inputs(): InputMask {
    let inputs = this.#passing
    for (let k = 0; k < INPUT_COUNT; k++) {
      const pressed = this.#u8(AT.repeat + 2 * k)
      if (pressed > 0 && (this.#steps[k] ?? 0) >= pressed) inputs &= ~(1 << k)
    }
    return inputs
  }

  pinsAt(rises: number, level: Level): PinBits {
    let row = this.#stays ? Math.min(rises, this.#cycles) : rises % this.#cycles
    if (this.#firstCycleOnly) row = 0
    const at = AT.chart + row * ROW_BYTES + (level === 'low' ? ROW_BYTES / 2 : 0)
    const inputs = this.inputs
    let bits = 0
    for (let k = 0; k < 6; k++) {
      const code = (this.#u8(at + (k >> 1)) >> (4 * (k & 1))) & 15
      const high = code === HIGH_CODE || (code !== LOW_CODE && !(inputs & (1 << code)))
      if (high) bits |= 1 << k
    }
    return bits
  }

  /** What the power-on rules say about what is held 500 ms after the pad's first report. */
  powerOn(held: ControlMask): PowerOnAnswer {
    for (let k = 0; k < this.#u8(AT.powerOnRules); k++) {
      const at = this.#rulesAt + k * RULE_BYTES
      if (!this.#all(at, held)) continue
      const bank = this.#u8(at + 4)
      return bank === 0 ? { kind: 'first-cycle-only' } : { kind: 'bank', bank }
    }
    return { kind: 'none' }
  }

  /**
   * The bank that a hold or chord asks for, `null` for none.
   *
   * @param heldMs for how long exactly these controls have been held
   * @param active the active bank, for next and previous
   */
  bankChange(held: ControlMask, heldMs: number, active: number): number | null {
    const first = this.#rulesAt + this.#u8(AT.powerOnRules) * RULE_BYTES
    for (let k = 0; k < this.#u8(AT.bankChanges); k++) {
      const at = first + k * RULE_BYTES
      if (!this.#all(at, held) || heldMs < this.#view.getUint16(at + 4, true)) continue
      const code = this.#u8(at + 6)
      if (code < NEXT_BANK_CODE) return code
      return code === NEXT_BANK_CODE ? (active % 4) + 1 : ((active + 2) % 4) + 1
    }
    return null
  }

  #all(at: number, held: ControlMask): boolean {
    return (this.#u32(at) & ~held) === 0
  }
}

/** An image ready to run, or what is wrong with it. Never throws. */
export function loadImage(bytes: Uint8Array): Result<ImageRunner, ImageError> {
  const sound = decodeImage(bytes)
  return sound.ok ? ok(new ImageRunner(bytes)) : sound
}
