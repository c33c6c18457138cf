import { ALL_HIGH, INPUTS, PINS, inputBit } from './pins.ts'
import type { Input, InputMask, Level, Pin, PinBits } from './pins.ts'

/** What one data pin carries in one phase: an input (low while it is held), or a fixed level. */
export type Cell = Input | Level

/** The six cells of one phase. */
export type Phase = Readonly<Record<Pin, Cell>>

/** One high and one low of select. */
export interface Cycle {
  readonly high: Phase
  readonly low: Phase
}

/** After the last cycle: count from the first cycle again, or keep one reply until the idle reset. */
export type After = { readonly kind: 'start-again' } | { readonly kind: 'stay'; readonly reply: Cycle }

/**
 * The phase chart: cycle `k` (from 0) is what the pins answer when `k` rising edges of select have come since the
 * counter was last reset. The cells are the only truth; there is no other flag for "six buttons".
 */
export interface Chart {
  readonly cycles: readonly Cycle[]
  readonly after: After
}

/** Most cycles a chart may have. The adapter's reply table has room for six pairs; *stay* takes one of them. */
export const MAX_CYCLES = { 'start-again': 6, stay: 5 } as const

/** All that a cell can carry, in the order of the image's code numbers. */
export const CELLS: readonly Cell[] = [...INPUTS, 'low', 'high']

/**
 * Which cycle of the chart (from 0) answers after `rises` rising edges since the last reset, or `after` for the reply that stays.
 *
 * @param rises whole number of rises, 0 at power-on and after an idle reset
 */
export function sourceAt({ cycles, after }: Chart, rises: number): number | 'after' {
  if (rises < cycles.length) return rises
  return after.kind === 'stay' ? 'after' : rises % cycles.length
}

/** The cycle that answers after so many rises. */
export function cycleAt(chart: Chart, rises: number): Cycle {
  const source = sourceAt(chart, rises)
  return source === 'after' && chart.after.kind === 'stay'
    ? chart.after.reply
    : (chart.cycles[source as number] as Cycle)
}

/** All that a chart answers with: its cycles, then the reply that stays. */
export const repliesOf = ({ cycles, after }: Chart): readonly Cycle[] =>
  after.kind === 'stay' ? [...cycles, after.reply] : cycles

/** The inputs that a chart can bring to the pins, in their usual order. */
export function inputsOf(chart: Chart): readonly Input[] {
  const cells = new Set(
    repliesOf(chart).flatMap(({ high, low }) => PINS.flatMap((pin) => [high[pin], low[pin]])),
  )
  return INPUTS.filter((input) => cells.has(input))
}

/** The phase that answers after `rises` rises at the present level of select. */
export const phaseAt = (chart: Chart, rises: number, level: Level): Phase => cycleAt(chart, rises)[level]

/** The level a cell puts on its pin while `held` is held. A pressed input is low. */
export function cellLevel(cell: Cell, held: InputMask): Level {
  if (cell === 'low' || cell === 'high') return cell
  return held & inputBit(cell) ? 'low' : 'high'
}

/** The six pins that a phase answers with while `held` is held. */
export function pinsOf(phase: Phase, held: InputMask): PinBits {
  let bits = ALL_HIGH
  PINS.forEach((pin, k) => {
    if (cellLevel(phase[pin], held) === 'low') bits &= ~(1 << k)
  })
  return bits
}

/** Whether two phases carry the same cells. */
export const samePhase = (p: Phase, q: Phase): boolean => PINS.every((pin) => p[pin] === q[pin])
