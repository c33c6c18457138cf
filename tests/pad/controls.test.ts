import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CONTROLS, controlBit, controlMask, controlsIn } from '../../src/pad/controls.ts'
import { arbControls } from '../arbitraries.ts'

describe('control masks', () => {
  it('have thirty-two bits, unsigned to the last', () => {
    expect(CONTROLS.length).toBe(32)
    expect(new Set(CONTROLS).size).toBe(32)
    CONTROLS.forEach((control, k) => expect(controlBit(control)).toBe(2 ** k))
    expect(controlMask(CONTROLS)).toBe(0xffff_ffff)
  })

  it('go to lists and back', () => {
    fc.assert(
      fc.property(arbControls(), (controls) => {
        expect(controlsIn(controlMask(controls))).toEqual(controls)
      }),
    )
  })

  it('put lists in canonical order and drop repeats', () => {
    expect(controlsIn(controlMask(['extra-7', 'face-east', 'extra-7', 'face-south']))).toEqual([
      'face-south',
      'face-east',
      'extra-7',
    ])
  })
})
