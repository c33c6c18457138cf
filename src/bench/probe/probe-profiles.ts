import type { After, Cell, Chart, Cycle, Phase } from '../../port/chart.ts'
import { INPUTS, PINS } from '../../port/pins.ts'
import type { Input, Level, Pin } from '../../port/pins.ts'
import { BUILT_IN_PROFILES } from '../../profile/built-in.ts'
import type { Profile } from '../../profile/schema.ts'

/**
 * Probe profiles: each phase after the first cycle carries an input of its own, its key, on pins that show on screen. So holding one thing shows whether a
 * title trusts one phase. The first cycle is that of a three-button pad, so that most titles can be played up to where the question is asked.
 */

/** A profile that is flashed to ask questions with, and what stands where in it. */
export interface Probe {
  /** Stable, such as `start-again-6-1500000-key-0`; the same id is the same profile. */
  readonly id: string
  readonly profile: Profile
}

/** What a phase that tells six buttons carries on pins 1 to 4: its key, or a level for as long as the profile is in. */
type Telling = 'key' | Level

/** Pins by which titles tell six buttons. */
const TELLING_PINS: readonly Pin[] = [1, 2, 3, 4]

/** Keys in the order in which phases get them. A and B are what shows, Start is kept for starting. */
const KEYS: readonly Input[] = ['x', 'y', 'z', 'c', 'up', 'down', 'left', 'right', 'mode', 'start']

/** Phases after the first cycle, in the order of the count. */
const phasesOf = (rows: number): { readonly row: number; readonly level: Level }[] =>
  Array.from({ length: rows - 1 }, (_, k) => k + 1).flatMap((row) =>
    (['high', 'low'] as const).map((level) => ({ row, level })),
  )

/** The pin of a direction, or of an extra button in its place, that a key shows on; never the one opposite to the key itself. */
const sidePin = (key: Input): Pin => (key === 'left' || key === 'right' ? 1 : 3)

const every = (cell: Cell): Phase => Object.fromEntries(PINS.map((pin) => [pin, cell])) as Record<Pin, Cell>

const FIRST: Cycle = BUILT_IN_PROFILES['three-button'].chart.cycles[0] as Cycle

/** High phases show B and a direction, low phases A; a low one brings pins 1 to 4 low by its key, too, where a title may tell six buttons by it. */
function phaseFor(level: Level, key: Input, telling: Telling): Phase {
  if (level === 'high') return { ...every('high'), [sidePin(key)]: key, 6: key }
  const told = telling === 'key' ? key : telling
  return { ...every('high'), ...Object.fromEntries(TELLING_PINS.map((pin) => [pin, told])), 6: key }
}

/** @param turn by how many places the keys are moved on, so that no phase is asked for by the same key twice */
function chartOf(rows: number, stays: boolean, turn: number, telling: Telling): Chart {
  const cycles: { high: Phase; low: Phase }[] = [{ ...FIRST }]
  phasesOf(rows).forEach(({ row, level }, k) => {
    const key = KEYS[(k + turn) % KEYS.length] as Input
    cycles[row] = {
      ...(cycles[row] ?? { high: every('high'), low: every('high') }),
      [level]: phaseFor(level, key, telling),
    }
  })
  const after: After = stays ? { kind: 'stay', reply: cycles.pop() as Cycle } : { kind: 'start-again' }
  return { cycles, after }
}

const SHAPES = [
  { rows: 6, stays: false },
  { rows: 6, stays: true },
  { rows: 5, stays: false },
  { rows: 4, stays: false },
] as const

/** All that can be asked with, in the order in which they are tried. */
export function probesFor(present: Profile, resetsNs: readonly number[]): Probe[] {
  const mapping = INPUTS.every((input) => present.mapping[input].length > 0)
    ? present.mapping
    : BUILT_IN_PROFILES['six-button'].mapping
  const found: Probe[] = []
  for (const idleResetNs of resetsNs)
    for (const { rows, stays } of SHAPES)
      for (const telling of ['key', 'low', 'high'] as const)
        for (const turn of [0, 3]) {
          if (telling !== 'key' && turn !== 0) continue
          const chart = chartOf(rows, stays, turn, telling)
          found.push({
            id: [stays ? 'stay' : 'start-again', rows, idleResetNs, telling, turn].join('-'),
            profile: {
              ...BUILT_IN_PROFILES['six-button'],
              sticks: present.sticks,
              mapping,
              chart,
              idleResetNs,
            },
          })
        }
  return found
}
