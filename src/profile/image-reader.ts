import { controlsIn } from '../pad/controls.ts'
import type { Control } from '../pad/controls.ts'
import { INPUTS } from '../port/pins.ts'
import { CRC_BYTES } from './image-layout.ts'
import { imageNumberTexts, imageTexts, t } from './profile-file-texts.ts'

/** Thrown by the parts of the image's reader and caught by `decode-image.ts`, so that they can be read from top to bottom. */
export class Refusal extends Error {
  constructor(
    readonly byte: number,
    message: string,
  ) {
    super(message)
  }
}

/** A small number in an image, by the key of its name. */
export type ImageNumber = Exclude<keyof typeof imageNumberTexts, symbol>

/** Numbers of an image by their offset, and none behind its end. */
export class ImageReader {
  readonly #view: DataView
  /** Where the CRC begins. */
  readonly end: number

  constructor(readonly image: Uint8Array) {
    this.#view = new DataView(image.buffer, image.byteOffset, image.length)
    this.end = image.length - CRC_BYTES
  }

  #room(at: number, bytes: number): void {
    if (at + bytes > this.end) throw new Refusal(this.end, imageTexts.countsTooHigh)
  }
  u8(at: number): number {
    this.#room(at, 1)
    return this.#view.getUint8(at)
  }
  u16(at: number): number {
    this.#room(at, 2)
    return this.#view.getUint16(at, true)
  }
  u32(at: number): number {
    this.#room(at, 4)
    return this.#view.getUint32(at, true)
  }
  /** With sign. */
  i32(at: number): number {
    return this.u32(at) | 0
  }
  zero(from: number, to: number): void {
    for (let at = from; at < to; at++) if (this.u8(at) !== 0) throw new Refusal(at, imageTexts.notZero)
  }
  upTo(at: number, most: number, name: ImageNumber): number {
    const value = this.u8(at)
    if (value > most)
      throw new Refusal(at, imageTexts.tooHigh({ what: imageNumberTexts[name], found: value, most }))
    return value
  }

  /** A bit set of controls, one at least. */
  controls(at: number): Control[] {
    const controls = controlsIn(this.u32(at))
    if (controls.length === 0) throw new Refusal(at, t.oneControl)
    return controls
  }
  /** A bit set of inputs in 16 bits; what is said where it names one that does not exist. */
  inputs(at: number, noSuchInput: string): number {
    const mask = this.u16(at)
    if (mask >> INPUTS.length !== 0) throw new Refusal(at, noSuchInput)
    return mask
  }
  /** A name in its room, filled up with zero; its length stands elsewhere. */
  name(lengthAt: number, at: number, room: number): string {
    const length = this.upTo(lengthAt, room, 'nameBytes')
    this.zero(at + length, at + room)
    try {
      const bytes = this.image.subarray(at, at + length)
      return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
    } catch {
      throw new Refusal(at, imageTexts.nameNotUtf8)
    }
  }
}
