import type { ControlMask } from '../../../src/pad/controls.ts'
import {
  AT,
  CHORD_BYTES,
  SWEEP_BYTES,
  EXTRACTOR_AT,
  EXTRACTOR_BYTES,
  KIND_CODES,
  PAD_AT,
  PAD_HEAD_BYTES,
  REPEAT_KINDS_BYTES,
  SIGNED_FLAG,
  STICK_BYTES,
} from '../../../src/profile/image-layout.ts'
import { VIAS } from '../../../src/profile/image-codes.ts'
import { ImageRunner } from './run-image.ts'
import { ImageStick } from './image-stick.ts'

/** A pad that is plugged in, as it says of itself. */
export interface PluggedPad {
  readonly via: (typeof VIAS)[number]
  readonly vendorId: number
  readonly productId: number
  /** Of its report descriptor; 0 for a pad of the vendor class, which has none. */
  readonly descriptorCrc32: number
}

/** Bit of up of each cross, by its code; down, left and right follow. */
const CROSS_BITS = [12, 17, 21] as const
/** Which of up, down, left and right each eighth of a turn holds, clockwise from up: bits in that order. */
const EIGHTHS = [0b0001, 0b1001, 0b1000, 0b1010, 0b0010, 0b0110, 0b0100, 0b0101] as const
const STICK_BITS = [17, 21] as const

/**
 * The reader of a pad by the bytes of an image, or `null` where the image has no layout for it.
 *
 * @param image an image that `decodeImage` found sound
 */
export function imagePadReader(image: Uint8Array, pad: PluggedPad): ImagePadReader | null {
  const bytes = new Uint8Array(image)
  if (bytes[AT.version] === 1) return null
  const view = new DataView(bytes.buffer)
  const sticksAt = new ImageRunner(bytes).lateAt + REPEAT_KINDS_BYTES
  const sweepBytes = view.getUint8(AT.version) === 3 ? SWEEP_BYTES : 0
  let at = sticksAt + 2 * STICK_BYTES + view.getUint8(AT.chords) * CHORD_BYTES + sweepBytes
  for (let k = view.getUint8(AT.pads); k > 0; k--) {
    if (isFor(view, at, pad)) return new ImagePadReader(view, sticksAt, at)
    at += PAD_HEAD_BYTES + view.getUint8(at + PAD_AT.extractors) * EXTRACTOR_BYTES
  }
  return null
}

const isFor = (view: DataView, at: number, pad: PluggedPad): boolean =>
  view.getUint16(at + PAD_AT.vendor, true) === pad.vendorId &&
  view.getUint16(at + PAD_AT.product, true) === pad.productId &&
  VIAS[view.getUint8(at + PAD_AT.via)] === pad.via &&
  (view.getUint8(at + PAD_AT.oneDescriptor) === 0 ||
    view.getUint32(at + PAD_AT.descriptorCrc32, true) === pad.descriptorCrc32)

/**
 * From the reports of a pad to all that is held, straight from the bytes of an image. The same meaning as `src/pad/hold.ts`, which
 * reads documents; it shares nothing with it but IMAGE.md ("From a report to controls").
 */
export class ImagePadReader {
  readonly #view: DataView
  readonly #at: number
  readonly #count: number
  readonly #numbered: boolean
  readonly #sticks: readonly ImageStick[]
  /** What each extractor holds, and where the four axes stand. */
  readonly #holds: Uint32Array
  readonly #axes = new Int32Array(4)

  constructor(view: DataView, sticksAt: number, padAt: number) {
    this.#view = view
    this.#at = padAt + PAD_HEAD_BYTES
    this.#count = view.getUint8(padAt + PAD_AT.extractors)
    this.#numbered = view.getUint8(this.#at + EXTRACTOR_AT.report) !== 0
    this.#sticks = [0, 1].map((k) => new ImageStick(new DataView(view.buffer, sticksAt + k * STICK_BYTES)))
    this.#holds = new Uint32Array(this.#count)
  }

  /** A report as it comes over the wire: its number in front, where the pad's reports have numbers. */
  report(bytes: Uint8Array): ControlMask {
    const data = this.#numbered ? bytes.subarray(1) : bytes
    const number = this.#numbered ? bytes[0] : 0
    for (let k = 0; k < this.#count; k++) {
      const at = this.#at + k * EXTRACTOR_BYTES
      if (this.#view.getUint8(at + EXTRACTOR_AT.report) === number) this.#extract(k, at, data)
    }
    let held = this.#holds.reduce((all, holds) => all | holds, 0)
    this.#sticks.forEach((stick, k) => {
      held |= stick.move(this.#axes[2 * k] ?? 0, this.#axes[2 * k + 1] ?? 0) << (STICK_BITS[k] ?? 0)
    })
    return held >>> 0
  }

  #extract(k: number, at: number, data: Uint8Array): void {
    const kind = this.#view.getUint8(at)
    const argument = this.#view.getUint8(at + EXTRACTOR_AT.argument)
    const count = this.#view.getUint16(at + EXTRACTOR_AT.count, true)
    const bits = this.#view.getUint8(at + EXTRACTOR_AT.bits) & ~SIGNED_FLAG
    const bit = this.#view.getUint16(at + EXTRACTOR_AT.bit, true)
    if (bit + bits * (kind === KIND_CODES.array ? count : 1) > data.length * 8) return
    const signed = (this.#view.getUint8(at + EXTRACTOR_AT.bits) & SIGNED_FLAG) !== 0
    const value = (n = 0) => valueOf(data, bit + n * bits, bits, signed)
    const number = (offset: number) => this.#view.getInt32(at + offset, true)
    const p = number(EXTRACTOR_AT.p)
    const q = number(EXTRACTOR_AT.q)
    if (kind === KIND_CODES.threshold) {
      if (isHeld(value(), p, q, this.#holds[k] !== 0)) this.#holds[k] = 1 << argument
      else this.#holds[k] = 0
    } else if (kind === KIND_CODES.array) {
      this.#holds[k] = 0
      for (let n = 0; n < count; n++) if (value(n) === p) this.#holds[k] = 1 << argument
    } else if (kind === KIND_CODES.hat) {
      const ways = EIGHTHS[Math.floor((value() - p) / q) * (8 / count)] ?? 0
      this.#holds[k] = ways << (CROSS_BITS[argument] ?? 0)
    } else {
      this.#axes[argument] = position(value(), p, q, number(EXTRACTOR_AT.r))
    }
  }
}

/** Bit by bit, the last one counting negative where the field has a sign. */
function valueOf(data: Uint8Array, first: number, bits: number, signed: boolean): number {
  let value = 0
  for (let k = 0; k < bits; k++) {
    const bit = first + k
    if (!(((data[bit >> 3] ?? 0) >> (bit & 7)) & 1)) continue
    value += signed && k === bits - 1 ? -(2 ** k) : 2 ** k
  }
  return value
}

/** By the words of IMAGE.md, case by case. */
function isHeld(value: number, press: number, release: number, before: boolean): boolean {
  if (press < release) return value <= press || (value < release && before)
  if (value >= press) return true
  return value > release && before
}

function position(value: number, low: number, centre: number, high: number): number {
  const kept = Math.min(Math.max(value, Math.min(low, high)), Math.max(low, high))
  const isLow = kept < centre === low < centre && kept !== centre
  let distance = Math.abs(kept - centre)
  let whole = Math.abs((isLow ? low : high) - centre)
  for (; whole >= 32_768; whole = Math.floor(whole / 2)) distance = Math.floor(distance / 2)
  const amount = Math.min(32_767, Math.floor((distance * Math.ceil(2_147_418_112 / whole)) / 65_536))
  return isLow ? -amount : amount
}
