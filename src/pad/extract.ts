import { controlBit } from './controls.ts'
import type { Control, ControlMask } from './controls.ts'
import type { Cross, Extractor, Field, Layout } from './layout/schema.ts'

/** From a pad's reports to what is held, as a layout says. IMAGE.md ("From a report to controls") is the contract. */

/** Where a stick stands: `x` to the right, `y` downwards, each −32767 … 32767. */
export interface StickPosition {
  readonly x: number
  readonly y: number
}

/** What a pad says: controls that extractors hold, and its sticks. Stick directions come on top, by the profile's settings. */
export interface PadState {
  readonly controls: ControlMask
  readonly left: StickPosition
  readonly right: StickPosition
}

/** The end of an axis. */
export const AXIS_FULL = 32767

/** The controls of a cross at each of eight positions, clockwise from up. */
const eightOf = (up: Control, down: Control, left: Control, right: Control): readonly ControlMask[] =>
  [[up], [up, right], [right], [down, right], [down], [down, left], [left], [up, left]].map((held) =>
    held.reduce((mask, control) => (mask | controlBit(control)) >>> 0, 0),
  )
const CROSS_POSITIONS: Record<Cross, readonly ControlMask[]> = {
  dpad: eightOf('dpad-up', 'dpad-down', 'dpad-left', 'dpad-right'),
  'stick-left': eightOf('stick-left-up', 'stick-left-down', 'stick-left-left', 'stick-left-right'),
  'stick-right': eightOf('stick-right-up', 'stick-right-down', 'stick-right-left', 'stick-right-right'),
}

export type Hat = Pick<Extract<Extractor, { readonly kind: 'hat' }>, 'first' | 'step' | 'positions'>

/** The position of a hat, counted clockwise from up; `null` where the value is none. */
export function hatPosition({ first, step, positions }: Hat, value: number): number | null {
  const position = Math.floor((value - first) / step)
  return position >= 0 && position < positions ? position : null
}

/** What a hat holds. */
function hatControls(cross: Cross, hat: Hat, value: number): ControlMask {
  const position = hatPosition(hat, value)
  return position === null ? 0 : (CROSS_POSITIONS[cross][position * (8 / hat.positions)] ?? 0)
}

/**
 * The value of some bits, the least significant first. Bits beyond the end of the data read 0.
 *
 * @param bit offset of the first, from the least significant bit of the first byte
 */
export function fieldValue(data: Uint8Array, bit: number, bits: number, signed: boolean): number {
  const first = bit >> 3
  const shift = bit & 7
  const byte = (k: number): number => data[first + k] ?? 0
  let word = byte(0) | (byte(1) << 8) | (byte(2) << 16) | (byte(3) << 24)
  // Thirty-two bits that do not start with a byte end in a fifth one.
  if (shift > 0) word = (word >>> shift) | (byte(4) << (32 - shift))
  const unused = 32 - bits
  return signed ? (word << unused) >> unused : (word << unused) >>> unused
}

/** Whether a threshold holds its control. */
export const thresholdHolds = (value: number, press: number, release: number, before: boolean): boolean =>
  press >= release
    ? value >= press || (value > release && before)
    : value <= press || (value < release && before)

/** An axis' value as −32767 … 32767. */
export function axisPosition(value: number, low: number, centre: number, high: number): number {
  const towardsLow = value < centre === low < centre
  const end = towardsLow ? low : high
  let span = Math.abs(end - centre)
  let distance = Math.min(Math.abs(value - centre), span)
  while (span >= 0x8000) {
    span >>>= 1
    distance >>>= 1
  }
  const amount = Math.min(AXIS_FULL, (distance * Math.ceil((AXIS_FULL * 0x10000) / span)) >> 16)
  return towardsLow && amount > 0 ? -amount : amount
}

const endOf = (extractor: Extractor): number => {
  const { bit, bits } = extractor.field
  return bit + bits * (extractor.kind === 'array' ? extractor.count : 1)
}

/** Reads the reports of one pad. What a report does not tell stays as it was. */
export class PadReader {
  readonly #extractors: Layout['extractors']
  readonly #numbered: boolean
  readonly #ends: readonly number[]
  /** What each extractor holds. */
  readonly #held: ControlMask[]
  readonly #axes = { left: { x: 0, y: 0 }, right: { x: 0, y: 0 } }

  constructor(layout: Pick<Layout, 'extractors'>) {
    this.#extractors = layout.extractors
    this.#numbered = layout.extractors.some(({ field }) => field.report > 0)
    this.#ends = layout.extractors.map(endOf)
    this.#held = layout.extractors.map(() => 0)
  }

  get state(): PadState {
    const controls = this.#held.reduce((mask, held) => mask | held, 0) >>> 0
    return { controls, left: { ...this.#axes.left }, right: { ...this.#axes.right } }
  }

  /** A report as it comes over the wire: its number in front, where the pad's reports have numbers. */
  report(bytes: Uint8Array): PadState {
    if (!this.#numbered) return this.reportData(0, bytes)
    const number = bytes[0]
    return number === undefined ? this.state : this.reportData(number, bytes.subarray(1))
  }

  /** A report as WebHID gives it: number (0 for none) and data apart. */
  reportData(number: number, data: Uint8Array): PadState {
    this.#extractors.forEach((extractor, k) => {
      const told = extractor.field.report === number && (this.#ends[k] as number) <= data.length * 8
      if (told) this.#take(extractor, k, data)
    })
    return this.state
  }

  #take(extractor: Extractor, k: number, data: Uint8Array): void {
    const value = (offset = 0): number => valueOf(data, extractor.field, offset)
    switch (extractor.kind) {
      case 'threshold': {
        const holds = thresholdHolds(value(), extractor.press, extractor.release, this.#held[k] !== 0)
        this.#held[k] = holds ? controlBit(extractor.control) : 0
        break
      }
      case 'array': {
        const { count, field } = extractor
        let holds = false
        for (let n = 0; n < count && !holds; n++) holds = value(n * field.bits) === extractor.value
        this.#held[k] = holds ? controlBit(extractor.control) : 0
        break
      }
      case 'hat':
        this.#held[k] = hatControls(extractor.cross, extractor, value())
        break
      case 'axis':
        this.#axes[extractor.stick][extractor.axis] = axisPosition(
          value(),
          extractor.low,
          extractor.centre,
          extractor.high,
        )
    }
  }
}

/** The value of a field, or of the one that lies so many bits behind it. */
export const valueOf = (data: Uint8Array, field: Field, offset = 0): number =>
  fieldValue(data, field.bit + offset, field.bits, field.signed)
