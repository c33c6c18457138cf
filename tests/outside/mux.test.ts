import { describe, expect, it } from 'vitest'
import { PortEngine } from '../../src/port/engine.ts'
import { ALL_INPUTS, PINS, inputBit, pinLevel } from '../../src/port/pins.ts'
import type { Input, Level, Pin } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { ImageRunner } from '../reference/profile/run-image.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'

/**
 * The three-button pad is a quad two-input multiplexer and a half, its select line wired to pin 7.
 * Function table of the 74HC157 as its datasheets print it (enable Ē, select S, inputs I0 and I1, output Y;
 * H high, L low, X does not matter).
 */
const FUNCTION_TABLE = [
  { enable: 'H', select: 'X', i0: 'X', i1: 'X', y: 'L' },
  { enable: 'L', select: 'L', i0: 'L', i1: 'X', y: 'L' },
  { enable: 'L', select: 'L', i0: 'H', i1: 'X', y: 'H' },
  { enable: 'L', select: 'H', i0: 'X', i1: 'L', y: 'L' },
  { enable: 'L', select: 'H', i0: 'X', i1: 'H', y: 'H' },
] as const

type Logic = 'L' | 'H'

/** One section of the chip, looked up in its function table. */
function section(enable: Logic, select: Logic, i0: Logic, i1: Logic): Logic {
  const fits = (row: string, is: Logic) => row === 'X' || row === is
  const rows = FUNCTION_TABLE.filter(
    (row) => fits(row.enable, enable) && fits(row.select, select) && fits(row.i0, i0) && fits(row.i1, i1),
  )
  if (rows.length !== 1) throw new Error('a function table has one row for every case')
  return (rows[0] as (typeof rows)[number]).y
}

/** What each section's inputs are wired to: a switch to ground with a pull-up, or ground. Common practice, no source. */
const WIRING: Record<Pin, { i0: Input | 'ground'; i1: Input }> = {
  1: { i0: 'up', i1: 'up' },
  2: { i0: 'down', i1: 'down' },
  3: { i0: 'ground', i1: 'left' },
  4: { i0: 'ground', i1: 'right' },
  6: { i0: 'a', i1: 'b' },
  9: { i0: 'start', i1: 'c' },
}

const padOfChips = (held: number, select: Level): Level[] =>
  PINS.map((pin) => {
    const wire = (to: Input | 'ground'): Logic => (to === 'ground' || held & inputBit(to) ? 'L' : 'H')
    const { i0, i1 } = WIRING[pin]
    return section('L', select === 'high' ? 'H' : 'L', wire(i0), wire(i1)) === 'H' ? 'high' : 'low'
  })

describe('the three-button port against a pad of multiplexers', () => {
  it('every combination of inputs, at both levels of select', () => {
    const runner = new ProfileRunner(BUILT_IN_PROFILES['three-button'])
    for (let held = 0; held <= ALL_INPUTS; held++) {
      runner.ask(held)
      for (const level of ['low', 'high'] as const) {
        const pins = runner.pinsAt(0, level)
        expect(PINS.map((pin) => pinLevel(pins, pin))).toEqual(padOfChips(held, level))
      }
    }
  })

  it('the image as well, whatever the chip was told before: it has no memory', () => {
    const image = new ImageRunner(encodeImage(BUILT_IN_PROFILES['three-button']))
    const profile = new ProfileRunner(BUILT_IN_PROFILES['three-button'])
    // The controls that stand for each input in the built-in mapping, through every combination of the eight.
    const inputs = ['up', 'down', 'left', 'right', 'a', 'b', 'c', 'start'] as const
    const controls = [12, 13, 14, 15, 2, 0, 1, 9]
    for (let bits = 0; bits < 256; bits++) {
      const held = controls.reduce((mask, control, k) => ((bits >> k) & 1 ? mask | (1 << control) : mask), 0)
      const wanted = inputs.reduce((mask, input, k) => ((bits >> k) & 1 ? mask | inputBit(input) : mask), 0)
      for (const runner of [image, profile]) {
        const engine = new PortEngine(runner, 'high')
        engine.press(0, () => runner.setControls(held))
        for (let edge = 1; edge <= 12; edge++) {
          const level = edge % 2 === 1 ? 'low' : 'high'
          engine.select(edge * 1_000, level)
          const pins = engine.pins ?? 0
          expect(PINS.map((pin) => pinLevel(pins, pin))).toEqual(padOfChips(wanted, level))
        }
      }
    }
  })

  it('a disabled chip would hold every line low, which reads as all pressed', () => {
    for (const [i0, i1] of [
      ['L', 'H'],
      ['H', 'L'],
      ['H', 'H'],
    ] as const)
      expect(section('H', 'H', i0, i1)).toBe('L')
  })
})
