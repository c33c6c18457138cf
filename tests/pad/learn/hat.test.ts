import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlsIn } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { gamepadReport } from '../../../src/pad/gamepad-report.ts'
import type { Field } from '../../../src/pad/layout/schema.ts'
import { hatOf } from '../../../src/pad/learn/hat.ts'
import { learnedLayout } from '../../../src/pad/learn/layout.ts'
import { Learner } from '../../../src/pad/learn/learner.ts'
import { GAMEPAD_PLACES, asHat, placesOfDescriptor } from '../../../src/pad/learn/places.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { parseReportDescriptor } from '../../../src/pad/descriptor/parse.ts'
import { realDescriptor } from '../descriptor/real-descriptors.ts'
import { draws } from '../../draws.ts'

const PAD = { via: 'gamepad', vendorId: 1, productId: 2, descriptorCrc32: null } as const
const WAYS = ['up', 'down', 'left', 'right'] as const
const DPAD = WAYS.map((way) => `dpad-${way}` as const)
/** Clockwise from up. */
const EIGHT: readonly (readonly Control[])[] = [
  ['dpad-up'],
  ['dpad-up', 'dpad-right'],
  ['dpad-right'],
  ['dpad-down', 'dpad-right'],
  ['dpad-down'],
  ['dpad-down', 'dpad-left'],
  ['dpad-left'],
  ['dpad-up', 'dpad-left'],
]

/** A learner of a d-pad, and a thumb on it: values one after another, a report every 16 ms. */
class Thumb<Value> {
  readonly learner: Learner
  readonly #report: (value: Value) => Uint8Array
  #nowMs = 0

  constructor(places: readonly ReportPlace[], report: (value: Value) => Uint8Array) {
    const asks = DPAD.map((control) => ({ kind: 'press' as const, control }))
    this.learner = new Learner(places, 0, asks)
    this.#report = report
  }

  hold(value: Value, ms: number): this {
    for (const end = this.#nowMs + ms; this.#nowMs < end;) {
      this.#nowMs += 16
      this.learner.report(0, this.#report(value), this.#nowMs)
    }
    return this
  }

  get layout() {
    expect(this.learner.view.phase).toBe('done')
    return learnedLayout(this.learner.learned, 'Learned', PAD)
  }

  /** What the learned layout holds at each of some values. */
  reads(values: readonly Value[]): readonly (readonly Control[])[] {
    const reader = new PadReader({ extractors: this.layout.layout?.extractors ?? [] })
    return values.map((value) => controlsIn(reader.report(this.#report(value)).controls))
  }
}

describe('the hat of a browser’s gamepad, shown as an axis', () => {
  // From memory: no source says how browsers show it. −1 is up, then clockwise by 2/7; beyond 1 is nothing.
  const shown = (position: number) => (position * 2) / 7 - 1
  const NOTHING = shown(8)
  const UP_DOWN_LEFT_RIGHT = [0, 4, 6, 2].map(shown)
  const report = (value: number) => gamepadReport({ buttons: [], axes: [0, 0.01, value, -1] })
  const thumb = (rest: number) => new Thumb(GAMEPAD_PLACES, report).hold(rest, 1300)
  const EIGHT_SHOWN = EIGHT.map((_, k) => shown(k))

  it('is learned by its four directions: each of eight positions holds what it points to, at rest nothing', () => {
    for (const nothing of [NOTHING, 3.28571, -9 / 7, NaN]) {
      const one = thumb(nothing)
      for (const way of UP_DOWN_LEFT_RIGHT) one.hold(nothing, 250).hold(way, 250).hold(nothing, 250)
      expect(one.layout).toMatchObject({
        layout: {
          extractors: [{ kind: 'hat', cross: 'dpad', field: { bit: 32 }, step: 9362, positions: 8 }],
        },
        remarks: [],
      })
      expect(one.reads([nothing, ...EIGHT_SHOWN, nothing])).toEqual([[], ...EIGHT, []])
    }
  })

  it('reads a browser that reckons in single precision too', () => {
    const one = thumb(Math.fround(NOTHING))
    for (const way of UP_DOWN_LEFT_RIGHT) one.hold(Math.fround(way), 250).hold(Math.fround(NOTHING), 250)
    expect(one.reads([NOTHING, ...EIGHT_SHOWN].map(Math.fround))).toEqual([[], ...EIGHT])
  })

  it('is learned though it was shown in the middle until it was first moved, and a thumb slipped', () => {
    const one = thumb(0)
    const [up, down, left, right] = UP_DOWN_LEFT_RIGHT as [number, number, number, number]
    // The first position that it ever shows is a slip.
    one.hold(shown(7), 50).hold(up, 250).hold(NOTHING, 250)
    one.hold(shown(3), 50).hold(down, 250).hold(shown(5), 50).hold(NOTHING, 250)
    // Too far aside for good: up and left instead of left.
    one.hold(shown(7), 250).hold(NOTHING, 250)
    one.hold(right, 250).hold(NOTHING, 250)
    expect(one.reads([NOTHING, ...EIGHT_SHOWN])).toEqual([[], ...EIGHT])
    expect(left).toBe(shown(6))
  })

  it('of four positions has these', () => {
    const four = (position: number) => (position * 2) / 3 - 1
    const one = thumb(four(4))
    for (const position of [0, 2, 3, 1]) one.hold(four(position), 250).hold(four(4), 250)
    expect(one.reads([0, 1, 2, 3, 4].map(four))).toEqual([
      ['dpad-up'],
      ['dpad-right'],
      ['dpad-down'],
      ['dpad-left'],
      [],
    ])
  })

  it('is no stick, and no axis that stands in its range becomes a hat', () => {
    const one = new Thumb(GAMEPAD_PLACES, (way: number) => gamepadReport({ buttons: [], axes: [way, 0] }))
    one.hold(0, 1300)
    for (const way of [-1, 1, -0.9, 0.9]) one.hold(way, 250).hold(0, 250)
    for (const { place } of one.learner.answers.flatMap(({ finding }) => finding ?? []))
      expect(place.kind).toBe('axis')
  })
})

describe('a hat that a report descriptor tells of', () => {
  // Logical 0 to 239, physical 0 to 360 degrees, 16 bits, null state (HID 1.11 section 6.2.2.5: any other value).
  it('in degrees is learned', () => {
    const parsed = parseReportDescriptor(realDescriptor(30))
    if (!parsed.ok) throw new Error(parsed.error.message)
    const places = placesOfDescriptor(parsed.value)
    const place = places.find(({ kind }) => kind === 'hat')
    expect(place).toMatchObject({ least: 0, most: 239, field: { report: 1, bits: 16 } })
    const bit = place?.field.bit ?? 0
    const own = { ...place, field: { ...place?.field, report: 0 } } as ReportPlace
    const report = (value: number) => {
      const bytes = new Uint8Array(64)
      new DataView(bytes.buffer).setUint16(bit / 8, value, true)
      return bytes
    }
    for (const nothing of [240, 255, 0xffff]) {
      const one = new Thumb([own], report).hold(nothing, 1300)
      for (const way of [0, 120, 180, 60]) one.hold(way, 250).hold(nothing, 250)
      expect(one.reads([nothing, ...EIGHT.map((_, k) => 30 * k), nothing])).toEqual([[], ...EIGHT, []])
    }
  })

  it('and counts its null state among its values is learned', () => {
    const place: ReportPlace = {
      kind: 'hat',
      field: { report: 0, bit: 0, bits: 4, signed: false },
      count: 1,
      least: 0,
      most: 8,
    }
    const one = new Thumb([place], (value: number) => Uint8Array.of(value)).hold(8, 1300)
    for (const way of [0, 4, 6, 2]) one.hold(way, 250).hold(8, 250)
    expect(one.layout.layout?.extractors).toEqual([
      { kind: 'hat', cross: 'dpad', field: place.field, first: 0, step: 1, positions: 8 },
    ])
  })
})

describe('positions that lie evenly apart', () => {
  const field: Field = { report: 0, bit: 0, bits: 32, signed: true }
  const place = asHat({ kind: 'axis', field, count: 1, least: -1e9, most: 1e9 })
  const finding = (value: number, rest: number) => ({
    place,
    trace: { awayMs: 200, share: 1, value, rest, noise: 0, straightness: 1, changes: 2, values: 2 },
    other: null,
    rival: null,
  })
  const CLOCKWISE = ['up', 'right', 'down', 'left'] as const

  it('are found for every step, each with the values about it, and never with the rest among them', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -1_000_000, max: 1_000_000 }),
        fc.integer({ min: 1, max: 1_000_000 }),
        fc.constantFrom(4 as const, 8 as const),
        fc.oneof(fc.constant(0), fc.nat(2_000_000)),
        fc.boolean(),
        (up, step, positions, away, below) => {
          const rest = below ? up - 1 - away : up + (positions - 1) * step + 1 + away
          const ways = CLOCKWISE.map((way, k) => ({
            way,
            finding: finding(up + (k * step * positions) / 4, rest),
          }))
          const found = hatOf(ways)
          if (found === null) throw new Error('no hat')
          const reader = new PadReader({ extractors: [{ kind: 'hat', cross: 'dpad', ...found }] })
          const read = (value: number) => {
            const bytes = new Uint8Array(4)
            new DataView(bytes.buffer).setInt32(0, value, true)
            return controlsIn(reader.report(bytes).controls)
          }
          for (let k = 0; k < positions; k++) expect(read(up + k * step)).toEqual(EIGHT[(k * 8) / positions])
          expect(read(rest)).toEqual([])
        },
      ),
      { numRuns: draws(500) },
    )
  })

  it('have the values half a step about them, where nothing else is known', () => {
    const ways = CLOCKWISE.map((way, k) => ({ way, finding: finding(60 * k, 1000) }))
    expect(hatOf(ways)).toMatchObject({ first: -15, step: 30, positions: 8 })
  })

  it('are none where the values do not rise alike', () => {
    const ways = (values: readonly number[], rest = -5) =>
      hatOf(CLOCKWISE.map((way, k) => ({ way, finding: finding(values[k] ?? 0, rest) })))
    expect(ways([0, 10, 20, 30])).not.toBeNull()
    expect(ways([0, 10, 20, 30], 10)).toBeNull()
    expect(ways([0, 10, 25, 60])).toBeNull()
    expect(ways([30, 20, 10, 0])).toBeNull()
    expect(ways([7, 7, 7, 7])).toBeNull()
    expect(ways([0, 5_000_000, 10_000_000, 15_000_000])).toBeNull()
  })
})
