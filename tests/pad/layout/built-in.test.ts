import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readJson } from '../../../src/document/document.ts'
import { CONTROLS, controlsIn } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { gamepadReport } from '../../../src/pad/gamepad-report.ts'
import type { GamepadState } from '../../../src/pad/gamepad-report.ts'
import { HeldReader } from '../../../src/pad/hold.ts'
import { STANDARD_LAYOUT, VENDOR_LAYOUT, plainGamepadLayout } from '../../../src/pad/layout/built-in.ts'
import { LAYOUT_KIND } from '../../../src/pad/layout/schema.ts'
import type { Layout } from '../../../src/pad/layout/schema.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'

const USUAL = { left: USUAL_STICK, right: USUAL_STICK }

/** As browsers give it, and as they should not. */
const arbAxis = fc.oneof(
  fc.integer({ min: -1500, max: 1500 }).map((k) => k / 1000),
  fc.double(),
)

const gamepad = (
  held: readonly number[],
  axes: readonly number[] = [0, 0, 0, 0],
  count = 17,
): GamepadState => ({
  buttons: Array.from({ length: count }, (_, k) => ({
    pressed: held.includes(k),
    value: held.includes(k) ? 1 : 0,
  })),
  axes,
})
const hold = (...states: readonly GamepadState[]) => {
  const reader = new HeldReader(STANDARD_LAYOUT, USUAL)
  return states.map((state) => controlsIn(reader.report(gamepadReport(state)))).at(-1)
}

describe('the standard layout', () => {
  // Source: W3C Gamepad, "Remapping", table of the standard gamepad: button index and location.
  it.each([
    [0, 'face-south'],
    [1, 'face-east'],
    [2, 'face-west'],
    [3, 'face-north'],
    [4, 'shoulder-left'],
    [5, 'shoulder-right'],
    [6, 'trigger-left'],
    [7, 'trigger-right'],
    [8, 'centre-left'],
    [9, 'centre-right'],
    [10, 'stick-left-press'],
    [11, 'stick-right-press'],
    [12, 'dpad-up'],
    [13, 'dpad-down'],
    [14, 'dpad-left'],
    [15, 'dpad-right'],
    [16, 'centre'],
  ] as const)('has button %i at %s', (index, control) => {
    expect(hold(gamepad([index]))).toEqual([control])
  })

  // Source: the same table: axes 0 and 1 are the left stick, 2 and 3 the right; negative is left or up.
  it.each([
    [[-1, 0, 0, 0], 'stick-left-left'],
    [[1, 0, 0, 0], 'stick-left-right'],
    [[0, -1, 0, 0], 'stick-left-up'],
    [[0, 1, 0, 0], 'stick-left-down'],
    [[0, 0, -1, 0], 'stick-right-left'],
    [[0, 0, 1, 0], 'stick-right-right'],
    [[0, 0, 0, -1], 'stick-right-up'],
    [[0, 0, 0, 1], 'stick-right-down'],
  ] as const)('has axes %j as %s', (axes, control) => {
    expect(hold(gamepad([], axes))).toEqual([control])
  })

  it('gives extras their place and drops what has none', () => {
    expect(hold(gamepad([17, 23, 24, 31, 40], [], 41))).toEqual(['extra-1', 'extra-7'])
  })

  it('presses a trigger at half of its way and lets it go at four tenths', () => {
    const at = (value: number): GamepadState => ({
      buttons: Array.from({ length: 17 }, (_, k) => ({
        pressed: k === 6 && value > 0.1,
        value: k === 6 ? value : 0,
      })),
      axes: [],
    })
    expect(hold(at(0.45))).toEqual([])
    expect(hold(at(0.5))).toEqual(['trigger-left'])
    expect(hold(at(0.5), at(0.45))).toEqual(['trigger-left'])
    expect(hold(at(0.5), at(0.39))).toEqual([])
  })

  it('takes a button that is pressed without a value as held', () => {
    expect(hold({ buttons: [{ pressed: true, value: 0 }], axes: [] })).toEqual(['face-south'])
  })

  it('presses a stick further out than it lets go', () => {
    // 50 % and 40 % of 90 % of the way.
    expect(hold(gamepad([], [0, -0.46]))).toEqual(['stick-left-up'])
    expect(hold(gamepad([], [0, -0.4]))).toEqual([])
    expect(hold(gamepad([], [0, -0.46]), gamepad([], [0, -0.4]))).toEqual(['stick-left-up'])
    expect(hold(gamepad([], [0, -0.46]), gamepad([], [0, -0.35]))).toEqual([])
  })

  it('never holds both ends of an axis, nor anything out of a resting pad', () => {
    const arbAxes = fc.array(arbAxis, { maxLength: 20 })
    fc.assert(
      fc.property(fc.array(arbAxes, { minLength: 1, maxLength: 5 }), (all) => {
        const now = hold(...all.map((axes) => gamepad([], axes))) ?? []
        for (const stick of ['stick-left', 'stick-right'] as const) {
          expect(now.includes(`${stick}-left`) && now.includes(`${stick}-right`)).toBe(false)
          expect(now.includes(`${stick}-up`) && now.includes(`${stick}-down`)).toBe(false)
        }
      }),
    )
    expect(hold({ buttons: [], axes: [] })).toEqual([])
  })
})

describe('a gamepad as a report', () => {
  it('has 64 bytes, whatever the browser says', () => {
    const arbButton = fc.record({ pressed: fc.boolean(), value: fc.double() })
    fc.assert(
      fc.property(
        fc.array(arbButton, { maxLength: 40 }),
        fc.array(arbAxis, { maxLength: 20 }),
        (buttons, axes) => {
          const bytes = gamepadReport({ buttons, axes })
          expect(bytes.length).toBe(64)
          const view = new DataView(bytes.buffer)
          for (let k = 0; k < 16; k++) {
            const value = axes[k] ?? 0
            // Beyond 1.1 it stands nowhere: a value that no position has.
            const stands = Math.abs(value) <= 1.1
            const wanted = stands ? Math.min(1, Math.max(-1, value)) * 32767 : -32768
            expect(Math.abs(view.getInt16(2 * k, true) - wanted)).toBeLessThanOrEqual(0.5)
          }
        },
      ),
    )
  })

  it('has the places that are written down', () => {
    const bytes = gamepadReport({
      axes: [-1, 1, 0.5],
      buttons: [
        { pressed: false, value: 0 },
        { pressed: true, value: 1 },
        { pressed: false, value: 0.25 },
      ],
    })
    expect([...bytes.slice(0, 8)]).toEqual([0x01, 0x80, 0xff, 0x7f, 0x00, 0x40, 0, 0])
    const beyond = gamepadReport({ axes: [1.1, -1.1, 1.101, -1.101, NaN, Infinity, 9 / 7], buttons: [] })
    const view = new DataView(beyond.buffer)
    expect([0, 1, 2, 3, 4, 5, 6].map((k) => view.getInt16(2 * k, true))).toEqual([
      32767, -32767, -32768, -32768, -32768, -32768, -32768,
    ])
    expect([...bytes.slice(32, 36)]).toEqual([0, 255, 64, 0])
  })
})

describe('built-in layouts', () => {
  const layouts: readonly (readonly [string, Layout])[] = [
    ['standard', STANDARD_LAYOUT],
    ['plain', plainGamepadLayout(12, 6)],
    ['plain, of nothing', plainGamepadLayout(0, 0)],
    ['plain, of too much', plainGamepadLayout(99, 99)],
    ['vendor class', VENDOR_LAYOUT],
  ]
  it.each(layouts)('are sound: %s', (_, layout) => {
    expect(readJson(LAYOUT_KIND, layout)).toEqual({ ok: true, value: layout })
  })

  it('take the buttons of an unknown pad in their order', () => {
    const reader = new PadReader(plainGamepadLayout(20, 2))
    const { controls, left } = reader.report(gamepadReport(gamepad([0, 16, 19, 20], [0.5, -1, 1], 21)))
    expect(controlsIn(controls)).toEqual(['face-south', 'centre', 'extra-3'])
    expect(left).toEqual({ x: 16384, y: -32767 })
  })

  it('read the report of the vendor class', () => {
    const reader = new PadReader(VENDOR_LAYOUT)
    const bytes = new Uint8Array(20)
    bytes.set([0, 20, 0b0001_0001, 0b1001_0100, 255, 120])
    const view = new DataView(bytes.buffer)
    view.setInt16(6, -32768, true)
    view.setInt16(8, 32767, true)
    view.setInt16(12, -32767, true)
    const { controls, left, right } = reader.report(bytes)
    expect(controlsIn(controls)).toEqual([
      'face-south',
      'face-north',
      'trigger-left',
      'centre-right',
      'dpad-up',
      'centre',
    ])
    expect(left).toEqual({ x: -32767, y: -32767 })
    expect(right).toEqual({ x: 0, y: 32767 })
  })

  it('have every control but the extras, and the gamepad those as well', () => {
    const of = (layout: Layout) =>
      layout.extractors.flatMap((one) => (one.kind === 'threshold' ? [one.control] : [])).toSorted()
    const buttons = CONTROLS.filter((control) => !/^stick-(left|right)-(up|down|left|right)$/.test(control))
    expect(of(STANDARD_LAYOUT)).toEqual(buttons.toSorted())
    expect(of(VENDOR_LAYOUT)).toEqual(buttons.filter((control) => !control.startsWith('extra')).toSorted())
  })
})
