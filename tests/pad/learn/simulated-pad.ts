import type { Control } from '../../../src/pad/controls.ts'
import type { ReportItem, ReportShape } from '../../../src/pad/descriptor/shape.ts'
import type { Field } from '../../../src/pad/layout/schema.ts'
import { uniform } from '../stick/noise.ts'

/** A pad made up at random, with the faults that pads have. All figures are invented. */

export type Random = () => number
export const between = (random: Random, least: number, most: number): number =>
  least + random() * (most - least)
export const wholeBetween = (random: Random, least: number, most: number): number =>
  Math.floor(between(random, least, most + 1))
const chance = (random: Random, share: number): boolean => random() < share
const pick = <T>(random: Random, of: readonly T[]): T => of[Math.floor(random() * of.length)] as T

/** What the user does to the pad: how far each control is pressed, 0 … 1, and where the sticks stand, −1 … 1, y downwards. */
export interface Hands {
  readonly levels: Readonly<Partial<Record<Control, number>>>
  readonly left: { readonly x: number; readonly y: number }
  readonly right: { readonly x: number; readonly y: number }
}
export const IDLE: Hands = { levels: {}, left: { x: 0, y: 0 }, right: { x: 0, y: 0 } }

/** Where something stands in the reports, and what it says. */
type Part = { readonly field: Field; readonly item: ReportItem | null } & (
  | { readonly is: 'bit'; readonly control: Control; readonly inverted: boolean; readonly at: number }
  | { readonly is: 'analogue'; readonly control: Control; readonly inverted: boolean; readonly full: number }
  | { readonly is: 'hat'; readonly first: number; readonly positions: 4 | 8; readonly nothing: number }
  | { readonly is: 'cross-axis'; readonly minus: Control; readonly plus: Control }
  | {
      readonly is: 'stick'
      readonly stick: 'left' | 'right'
      readonly axis: 'x' | 'y'
      readonly inverted: boolean
      readonly weakLow: number
      readonly weakHigh: number
    }
  | {
      readonly is: 'array'
      readonly count: number
      readonly controls: readonly Control[]
      readonly firstValue: number
    }
  | { readonly is: 'counter'; readonly every: number; readonly step: number }
  | { readonly is: 'motion'; readonly spread: number }
  | { readonly is: 'padding' }
)

export interface SimulatedPad {
  readonly parts: readonly Part[]
  readonly shapes: readonly ReportShape[]
  readonly numbers: readonly number[]
  readonly bytes: number
  readonly opaque: boolean
  /** It sends only when something changed. */
  readonly onChange: boolean
  readonly periodMs: number
  /** Shares of half an axis' range. */
  readonly noise: number
  readonly drift: number
  readonly bounceMs: number
}

const USAGES: Record<string, readonly { page: number; first: number; last: number }[]> = {
  button: [{ page: 9, first: 1, last: 1 }],
  hat: [{ page: 1, first: 0x39, last: 0x39 }],
  axis: [{ page: 1, first: 0x30, last: 0x30 }],
  array: [{ page: 9, first: 1, last: 16 }],
}

const itemOf = (
  field: Field,
  usage: keyof typeof USAGES,
  logicalMin: number,
  logicalMax: number,
  more: Partial<ReportItem> = {},
): ReportItem => ({
  field,
  count: 1,
  usages: USAGES[usage] ?? [],
  application: { page: 1, id: 5 },
  logicalMin,
  logicalMax,
  physicalMin: 0,
  physicalMax: 0,
  unit: 0,
  unitExponent: 0,
  array: false,
  constant: false,
  relative: false,
  wrap: false,
  nonLinear: false,
  noPreferredState: false,
  nullState: false,
  volatile: false,
  bufferedBytes: false,
  ...more,
})

const range = ({ bits, signed }: Field): { least: number; most: number } =>
  signed ? { least: -(2 ** (bits - 1)), most: 2 ** (bits - 1) - 1 } : { least: 0, most: 2 ** bits - 1 }

const DPAD: readonly Control[] = ['dpad-up', 'dpad-down', 'dpad-left', 'dpad-right']
const BUTTONS: readonly Control[] = [
  'face-south',
  'face-east',
  'face-west',
  'face-north',
  'centre-right',
  'centre-left',
  'shoulder-left',
  'shoulder-right',
  'stick-left-press',
  'stick-right-press',
  'centre',
  'extra-1',
  'extra-2',
]

const shuffled = <T>(random: Random, of: readonly T[]): T[] =>
  of
    .map((one) => ({ one, key: random() }))
    .toSorted((a, b) => a.key - b.key)
    .map(({ one }) => one)

/** A pad from a seed. `opaque`: the descriptor says no more than that there are bytes. */
export function randomPad(seed: number, opaque: boolean): SimulatedPad {
  const random = uniform(seed)
  const onChange = !opaque && chance(random, 0.15)
  const numbered = chance(random, 0.4)
  const numbers = numbered ? [wholeBetween(random, 1, 20)] : [0]
  if (numbered && !opaque && chance(random, 0.4)) numbers.push(wholeBetween(random, 21, 40))
  const ends = new Map(numbers.map((number) => [number, 0]))
  const parts: Part[] = []

  const fieldFor = (bits: number, signed: boolean, aligned: number, total = bits): Field => {
    const report = pick(random, numbers)
    const end = ends.get(report) ?? 0
    const bit = Math.ceil(end / aligned) * aligned
    ends.set(report, bit + total)
    return { report, bit, bits, signed }
  }
  const bit = (control: Control, at = 0.5) => {
    const field = fieldFor(1, false, 1)
    const inverted = chance(random, 0.2)
    parts.push({ is: 'bit', control, inverted, at, field, item: itemOf(field, 'button', 0, 1) })
  }
  const axisField = (): Field => {
    const bits = opaque ? 8 : pick(random, [8, 8, 10, 12, 16, 16])
    const signed = opaque ? false : chance(random, 0.4)
    return fieldFor(bits, signed, opaque ? 8 : pick(random, [1, 8]))
  }
  const axisItem = (field: Field): ReportItem => itemOf(field, 'axis', range(field).least, range(field).most)

  const buttons = shuffled(random, BUTTONS).slice(0, wholeBetween(random, 2, BUTTONS.length))
  const inArray = !opaque && chance(random, 0.2) ? buttons.splice(0, 3) : []
  const makers: (() => void)[] = [
    ...buttons.map((control) => () => bit(control)),
    () => {
      const kind = pick(random, ['hat', 'bits', 'axes', 'none'])
      if (kind === 'hat') {
        const field = fieldFor(4, false, 4)
        const positions = chance(random, 0.8) ? 8 : 4
        const first = chance(random, 0.3) ? 1 : 0
        const nothing = first === 1 ? 0 : pick(random, [positions, 15])
        const item = itemOf(field, 'hat', first, first + positions - 1, { nullState: true })
        parts.push({ is: 'hat', first, positions, nothing, field, item })
      } else if (kind === 'bits') DPAD.forEach((control) => bit(control))
      else if (kind === 'axes' && !opaque) {
        for (const [minus, plus] of [
          ['dpad-left', 'dpad-right'],
          ['dpad-up', 'dpad-down'],
        ] as const) {
          const field = axisField()
          parts.push({ is: 'cross-axis', minus, plus, field, item: axisItem(field) })
        }
      }
    },
    ...(['left', 'right'] as const).map((stick) => () => {
      if (chance(random, 0.25)) return
      for (const axis of shuffled(random, ['x', 'y'] as const)) {
        const field = axisField()
        const weak = () => (chance(random, 0.3) ? between(random, 0.7, 1) : 1)
        const inverted = chance(random, 0.3)
        const [weakLow, weakHigh] = [weak(), weak()]
        parts.push({ is: 'stick', stick, axis, inverted, weakLow, weakHigh, field, item: axisItem(field) })
      }
    }),
    ...(['trigger-left', 'trigger-right'] as const).map((control) => () => {
      const kind = pick(random, ['bit', 'analogue', 'both', 'none'])
      if (kind === 'analogue' || kind === 'both') {
        const field = axisField()
        const full = chance(random, 0.3) ? between(random, 0.6, 1) : 1
        const inverted = !opaque && chance(random, 0.15)
        parts.push({ is: 'analogue', control, inverted, full, field, item: axisItem(field) })
      }
      if (kind === 'bit' || (kind === 'both' && !opaque)) bit(control, between(random, 0.1, 0.95))
    }),
    () => {
      if (inArray.length === 0) return
      const count = wholeBetween(random, 1, 3)
      const field = fieldFor(8, false, 8, 8 * count)
      const item = itemOf(field, 'array', 1, 16, { array: true, count })
      parts.push({
        is: 'array',
        count,
        controls: inArray,
        firstValue: wholeBetween(random, 1, 12),
        field,
        item,
      })
    },
    () => {
      if (onChange || !chance(random, 0.5)) return
      const field = opaque ? fieldFor(8, false, 8) : fieldFor(pick(random, [8, 16]), false, 8)
      parts.push({
        is: 'counter',
        every: opaque ? 1 : pick(random, [1, 1, 3]),
        step: 1,
        field,
        item: axisItem(field),
      })
    },
    () => {
      if (onChange || !chance(random, 0.4)) return
      for (let n = 0; n < 3; n++) {
        const field = fieldFor(16, true, 8)
        parts.push({ is: 'motion', spread: between(random, 0.01, 0.15), field, item: axisItem(field) })
      }
    },
    () => {
      const field = fieldFor(wholeBetween(random, 1, 7), false, 1)
      parts.push({ is: 'padding', field, item: null })
    },
  ]
  shuffled(random, makers).forEach((make) => make())

  const bytes = Math.max(1, ...[...ends.values()].map((end) => Math.ceil(end / 8)))
  const shapes = numbers.map((report): ReportShape => {
    const blob: ReportItem = itemOf({ report, bit: 0, bits: 8, signed: false }, 'button', 0, 255, {
      count: bytes,
      usages: [{ page: 0xff00, first: 1, last: 1 }],
    })
    const items = parts.flatMap(({ field, item }) => (item !== null && field.report === report ? [item] : []))
    return { kind: 'input', report, bits: bytes * 8, items: opaque ? [blob] : items }
  })
  return {
    parts,
    shapes,
    numbers,
    bytes,
    opaque,
    onChange,
    // Thirty reports a second show too little of undescribed bytes: about one in 700 of such pads is learned wrongly.
    periodMs: pick(random, opaque ? [4, 8, 8, 16] : [4, 8, 8, 16, 33]),
    noise: onChange ? 0 : pick(random, [0, 0.002, 0.01, 0.02]),
    drift: pick(random, [0, 0, 0.02, 0.05]),
    bounceMs: pick(random, [0, 0, 5, 12]),
  }
}

/** Writes a value over the bits of a field. */
function put(data: Uint8Array, { bit, bits }: Field, value: number): void {
  const whole = Math.round(value) | 0
  for (let k = 0; k < bits; k++) {
    const at = bit + k
    const mask = 1 << (at & 7)
    const before = data[at >> 3] ?? 0
    data[at >> 3] = (whole >>> k) & 1 ? before | mask : before & ~mask
  }
}

/** The electronics of one pad: what it sends for what the hands do. */
export class PadElectronics {
  readonly #pad: SimulatedPad
  readonly #random: Random
  #sent = 0
  /** Where each stick axis comes back to, anew each time that it was moved. */
  readonly #restOf = new Map<Part, number>()
  readonly #bounce = new Map<Part, { readonly was: boolean; readonly sinceMs: number }>()

  constructor(pad: SimulatedPad, seed: number) {
    this.#pad = pad
    this.#random = uniform(seed)
  }

  /** Data of one report, without its number. */
  data(report: number, hands: Hands, nowMs: number): Uint8Array {
    this.#sent++
    const data = new Uint8Array(this.#pad.bytes)
    for (const part of this.#pad.parts) {
      if (part.field.report === report) this.#write(data, part, hands, nowMs)
    }
    return data
  }

  #noisy(value: number, { least, most }: { least: number; most: number }): number {
    const half = (most - least) / 2
    const noise = (2 * this.#random() - 1) * this.#pad.noise * half
    return Math.max(least, Math.min(most, Math.round(value + noise)))
  }

  #write(data: Uint8Array, part: Part, hands: Hands, nowMs: number): void {
    const { field } = part
    const { least, most } = range(field)
    const middle = Math.ceil((least + most) / 2)
    const level = (control: Control): number => hands.levels[control] ?? 0
    switch (part.is) {
      case 'bit': {
        const closed = level(part.control) >= part.at && level(part.control) > 0
        const last = this.#bounce.get(part)
        if (last?.was !== closed) {
          this.#bounce.set(part, { was: closed, sinceMs: last === undefined ? -Infinity : nowMs })
        }
        const sinceMs = nowMs - (this.#bounce.get(part)?.sinceMs ?? 0)
        const bounces = sinceMs < this.#pad.bounceMs && this.#random() < 0.5
        put(data, field, (closed !== bounces) !== part.inverted ? 1 : 0)
        break
      }
      case 'analogue': {
        const way = level(part.control) * part.full * (most - least)
        put(data, field, this.#noisy(part.inverted ? most - way : least + way, { least, most }))
        break
      }
      case 'hat': {
        const y = (level('dpad-down') > 0.5 ? 1 : 0) - (level('dpad-up') > 0.5 ? 1 : 0)
        const x = (level('dpad-right') > 0.5 ? 1 : 0) - (level('dpad-left') > 0.5 ? 1 : 0)
        const eighth = Math.round(((Math.atan2(x, -y) / Math.PI) * 4 + 8) % 8)
        const position = part.positions === 8 ? eighth : eighth / 2
        put(data, field, x === 0 && y === 0 ? part.nothing : part.first + position)
        break
      }
      case 'cross-axis': {
        const way = level(part.plus) - level(part.minus)
        put(
          data,
          field,
          this.#noisy(way < 0 ? middle + way * (middle - least) : middle + way * (most - middle), {
            least,
            most,
          }),
        )
        break
      }
      case 'stick': {
        const wanted = hands[part.stick][part.axis]
        if (wanted !== 0 || !this.#restOf.has(part)) {
          this.#restOf.set(part, (2 * this.#random() - 1) * this.#pad.drift)
        }
        const moved =
          wanted === 0 ? (this.#restOf.get(part) ?? 0) : wanted * (wanted < 0 ? part.weakLow : part.weakHigh)
        const way = part.inverted ? -moved : moved
        put(
          data,
          field,
          this.#noisy(way < 0 ? middle + way * (middle - least) : middle + way * (most - middle), {
            least,
            most,
          }),
        )
        break
      }
      case 'array': {
        const pressed = part.controls.flatMap((control, k) =>
          level(control) > 0.5 ? [part.firstValue + k] : [],
        )
        pressed
          .slice(0, part.count)
          .forEach((value, n) => put(data, { ...field, bit: field.bit + 8 * n }, value))
        break
      }
      case 'counter':
        put(data, field, Math.floor(this.#sent / part.every) * part.step)
        break
      case 'motion': {
        const shaken = hands === IDLE ? 1 : 1.5
        put(data, field, (2 * this.#random() - 1) * part.spread * shaken * most)
        break
      }
      case 'padding':
        break
    }
  }
}
