import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  ALL_HIGH,
  ALL_INPUTS,
  INPUTS,
  PINS,
  inputBit,
  inputsIn,
  isInput,
  maskOf,
  pinLevel,
} from '../../src/port/pins.ts'
import { arbInputMask } from '../arbitraries.ts'

describe('input masks', () => {
  it('have a bit for each of the twelve inputs', () => {
    expect(INPUTS.map(inputBit)).toEqual([1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048])
    expect(maskOf(INPUTS)).toBe(ALL_INPUTS)
    expect(ALL_INPUTS).toBe(0xfff)
  })

  it('go to lists and back', () => {
    fc.assert(fc.property(arbInputMask, (mask) => maskOf(inputsIn(mask)) === mask))
  })

  it('know their names and no others', () => {
    for (const input of INPUTS) expect(isInput(input)).toBe(true)
    for (const name of ['', 'UP', 'low', 'constructor', '__proto__']) expect(isInput(name)).toBe(false)
  })
})

it('pin bits stand in the order 1 2 3 4 6 9, high when set', () => {
  expect(PINS.map((pin) => pinLevel(0b100101, pin))).toEqual(['high', 'low', 'high', 'low', 'low', 'high'])
  expect(PINS.map((pin) => pinLevel(ALL_HIGH, pin))).toEqual(PINS.map(() => 'high'))
})
