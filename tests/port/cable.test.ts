import { describe, expect, it } from 'vitest'
import { CABLES, CABLE_NS } from '../../src/port/cable.ts'
import type { Cable } from '../../src/port/cable.ts'

/**
 * When a data line has fallen to 0.8 V behind a 20 Ω driver, a resistor in series and a cable, with 15 pF and 10 kΩ at its far
 * end. Source: ngspice, run once (`tests/outside/cable-ngspice.test.ts` runs it again).
 */
const FALL_NS: Readonly<Record<'plug' | 'cable', Readonly<Record<number, readonly number[]>>>> = {
  plug: { 100: [7], 150: [9], 330: [19] },
  // 50 and 100 pF/m.
  cable: { 100: [13, 36], 150: [28, 58], 330: [63, 109] },
}

/** Select on its way to the adapter, and the Schmitt input that a cable needs (the same source). */
const SELECT_NS = { plug: 1, cable: 20 }

const SPEED_OF_LIGHT_M_PER_S = 299_792_458

const takesIn = (cable: Cable, ns: number) => CABLE_NS[cable].minNs <= ns && ns <= CABLE_NS[cable].maxNs

describe.each([
  ['short', 'plug'],
  ['long', 'cable'],
] as const)('%s', (cable, figures) => {
  const withSelect = (ohm: number) => (FALL_NS[figures][ohm] as number[]).map((ns) => ns + SELECT_NS[figures])

  it('takes in what a board of 100 to 150 Ω takes, and nothing beyond it', () => {
    for (const ns of [100, 150].flatMap(withSelect)) expect(takesIn(cable, ns), `${ns} ns`).toBe(true)
    expect(CABLE_NS[cable].maxNs).toBe(Math.max(...withSelect(150)))
  })

  it('does not take in what 330 Ω can take', () => {
    expect(takesIn(cable, Math.max(...withSelect(330)))).toBe(false)
  })
})

it('nothing is faster than light: twice 1.5 m in the long cable, no way at all in a plug', () => {
  const thereAndBackNs = (2 * 1.5 * 1e9) / SPEED_OF_LIGHT_M_PER_S
  expect(CABLE_NS.long.minNs).toBe(Math.floor(thereAndBackNs))
  expect(CABLE_NS.short.minNs).toBe(0)
})

it('one that is not known takes in whatever a known one does, and nothing else', () => {
  const known = CABLES.filter((cable) => cable !== 'unknown')
  expect(known.length).toBeGreaterThan(1)
  for (let ns = -10; ns <= 200; ns++)
    expect(takesIn('unknown', ns), `${ns} ns`).toBe(known.some((cable) => takesIn(cable, ns)))
})
