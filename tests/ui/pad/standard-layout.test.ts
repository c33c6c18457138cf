import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS, controlMask, controlsIn } from '../../../src/pad/controls.ts'
import { PRESS_AT, RELEASE_AT, buttonControl, heldControls } from '../../../src/ui/pad/standard-layout.ts'
import type { PadReport } from '../../../src/ui/pad/standard-layout.ts'

const report = (held: readonly number[], axes: readonly number[] = [0, 0, 0, 0], count = 17): PadReport => ({
  buttons: Array.from({ length: count }, (_, k) => ({
    pressed: held.includes(k),
    value: held.includes(k) ? 1 : 0,
  })),
  axes,
})
const held = (pad: PadReport, before = 0) => controlsIn(heldControls(pad, before))

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
    expect(held(report([index]))).toEqual([control])
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
    expect(held(report([], axes))).toEqual([control])
  })
})

describe('a report', () => {
  it('gives extras their place and drops what has none', () => {
    expect(held(report([17, 23, 24, 40], [], 41))).toEqual(['extra-1', 'extra-7'])
    expect(buttonControl(24)).toBeUndefined()
    expect(CONTROLS.every((_, k) => k >= 24 || buttonControl(k) !== undefined)).toBe(true)
  })

  it('presses a stick at one mark and lets it go at a lower one', () => {
    const up = controlMask(['stick-left-up'])
    expect(held(report([], [0, -PRESS_AT]))).toEqual(['stick-left-up'])
    expect(held(report([], [0, -(PRESS_AT + RELEASE_AT) / 2]))).toEqual([])
    expect(held(report([], [0, -(PRESS_AT + RELEASE_AT) / 2]), up)).toEqual(['stick-left-up'])
    expect(held(report([], [0, -RELEASE_AT + 0.01]), up)).toEqual([])
  })

  it('never holds both ends of an axis, nor anything out of a resting pad', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1, max: 1 }), { maxLength: 6 }),
        fc.integer(),
        (axes, before) => {
          const now = held(report([], axes), before >>> 0)
          for (const stick of ['stick-left', 'stick-right'] as const) {
            expect(now.includes(`${stick}-left`) && now.includes(`${stick}-right`)).toBe(false)
            expect(now.includes(`${stick}-up`) && now.includes(`${stick}-down`)).toBe(false)
          }
        },
      ),
    )
    expect(held({ buttons: [], axes: [] })).toEqual([])
  })
})
