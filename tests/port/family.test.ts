import { describe, expect, it } from 'vitest'
import { MAX_CYCLES, cycleAt } from '../../src/port/chart.ts'
import type { Phase } from '../../src/port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CHART, USUAL_IDLE_RESET_NS } from '../../src/port/family.ts'
import { cellWord } from '../../src/port/input-texts.ts'
import { PINS } from '../../src/port/pins.ts'

/** The replies as the trade writes them down, pins 1 2 3 4 6 9 (common practice, no source). */
const THREE_BUTTONS = { high: 'Up Down Left Right B C', low: 'Up Down low low A Start' }
const SIX_BUTTONS = [
  THREE_BUTTONS,
  THREE_BUTTONS,
  { ...THREE_BUTTONS, low: 'low low low low A Start' },
  { high: 'Z Y X Mode B C', low: 'high high high high A Start' },
]

const written = (phase: Phase) => PINS.map((pin) => cellWord(phase[pin])).join(' ')
const answers = (chart: typeof SIX_BUTTON_CHART, rises: number) => {
  const { high, low } = cycleAt(chart, rises)
  return { high: written(high), low: written(low) }
}

describe('the replies of the pads', () => {
  it('six buttons: four cycles, then those of three buttons', () => {
    for (let rises = 0; rises < 20; rises++)
      expect(answers(SIX_BUTTON_CHART, rises), `${rises} rises`).toEqual(SIX_BUTTONS[rises] ?? THREE_BUTTONS)
  })

  it('three buttons: one and the same for ever', () => {
    for (let rises = 0; rises < 20; rises++)
      expect(answers(THREE_BUTTON_CHART, rises), `${rises} rises`).toEqual(THREE_BUTTONS)
  })

  it('have as many cycles as the pads, and fit into an adapter', () => {
    expect([SIX_BUTTON_CHART, THREE_BUTTON_CHART].map(({ cycles }) => cycles.length)).toEqual([4, 1])
    for (const { cycles, after } of [SIX_BUTTON_CHART, THREE_BUTTON_CHART])
      expect(cycles.length).toBeLessThanOrEqual(MAX_CYCLES[after.kind])
  })
})

it('the idle reset is one of those between which pads differ, 1.1 to 1.8 ms (from memory)', () => {
  expect(USUAL_IDLE_RESET_NS).toBeGreaterThanOrEqual(1_100_000)
  expect(USUAL_IDLE_RESET_NS).toBeLessThanOrEqual(1_800_000)
})
