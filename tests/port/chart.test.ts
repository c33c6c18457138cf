import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  CELLS,
  cellLevel,
  cycleAt,
  inputsOf,
  phaseAt,
  pinsOf,
  repliesOf,
  samePhase,
} from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../../src/port/family.ts'
import { ALL_INPUTS, INPUTS, PINS, inputBit, pinLevel } from '../../src/port/pins.ts'
import { arbChart, arbInputMask, arbPhase } from '../arbitraries.ts'

describe('cells', () => {
  it('put their pin low while their input is held, and only then', () => {
    for (const input of INPUTS) {
      expect(cellLevel(input, inputBit(input))).toBe('low')
      expect(cellLevel(input, ALL_INPUTS & ~inputBit(input))).toBe('high')
    }
  })

  it('hold a fixed level whatever is held', () => {
    fc.assert(
      fc.property(arbInputMask, (held) => {
        expect(cellLevel('low', held)).toBe('low')
        expect(cellLevel('high', held)).toBe('high')
      }),
    )
  })

  it('are fourteen: twelve inputs and two levels', () => {
    expect(CELLS).toEqual([...INPUTS, 'low', 'high'])
  })
})

describe('phases', () => {
  it('answer pin by pin', () => {
    fc.assert(
      fc.property(arbPhase, arbInputMask, (phase, held) => {
        const bits = pinsOf(phase, held)
        for (const pin of PINS) expect(pinLevel(bits, pin)).toBe(cellLevel(phase[pin], held))
      }),
    )
  })

  it('are the same when every cell is', () => {
    fc.assert(
      fc.property(arbPhase, fc.constantFrom(...PINS), fc.constantFrom(...CELLS), (phase, pin, cell) => {
        expect(samePhase(phase, { ...phase })).toBe(true)
        expect(samePhase(phase, { ...phase, [pin]: cell })).toBe(phase[pin] === cell)
      }),
    )
  })
})

describe('cycles by count', () => {
  it('stay on the reply for afterwards, or start again', () => {
    fc.assert(
      fc.property(arbChart, fc.nat(1_000_000), (chart, rises) => {
        const { cycles, after } = chart
        const cycle = cycleAt(chart, rises)
        if (after.kind === 'start-again') expect(cycle).toBe(cycles[rises % cycles.length])
        else expect(cycle).toBe(rises < cycles.length ? cycles[rises] : after.reply)
        expect(phaseAt(chart, rises, 'low')).toBe(cycle.low)
        expect(phaseAt(chart, rises, 'high')).toBe(cycle.high)
      }),
    )
  })

  it('of six buttons are three-button cycles where nothing else is said', () => {
    for (const rises of [0, 1, 4, 5, 100]) expect(cycleAt(SIX_BUTTON_CHART, rises)).toBe(THREE_BUTTON_CYCLE)
    expect(phaseAt(SIX_BUTTON_CHART, 2, 'high')).toBe(THREE_BUTTON_CYCLE.high)
  })
})

describe('all that a chart answers with', () => {
  it('is what it answers with at some count, and whatever it answers with', () => {
    fc.assert(
      fc.property(arbChart, (chart) => {
        const counts = Array.from({ length: 20 }, (_, rises) => rises)
        expect(new Set(repliesOf(chart))).toEqual(new Set(counts.map((rises) => cycleAt(chart, rises))))
        // One a count, in the order of the counts.
        repliesOf(chart).forEach((reply, rises) => expect(reply).toBe(cycleAt(chart, rises)))
      }),
    )
  })

  it('brings an input to the pins if pressing it alone moves one at some count and level', () => {
    fc.assert(
      fc.property(arbChart, (chart) => {
        const moves = (held: number) =>
          [...Array(20).keys()].some((rises) =>
            (['low', 'high'] as const).some((level) => {
              const phase = phaseAt(chart, rises, level)
              return pinsOf(phase, held) !== pinsOf(phase, 0)
            }),
          )
        expect(inputsOf(chart)).toEqual(INPUTS.filter((input) => moves(inputBit(input))))
      }),
    )
  })
})
