import type { Cell, Chart } from '../../port/chart.ts'
import { CELLS } from '../../port/chart.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../../port/family.ts'
import type { InputMask, PinBits } from '../../port/pins.ts'
import { INPUTS, PINS } from '../../port/pins.ts'

/** A cell by its place in {@link CELLS}: the inputs first, in the order of their mask. */
export type CellCode = number
export const UNKNOWN_CELL: CellCode = -1

export const isInputCell = (code: CellCode): boolean => code >= 0 && code < INPUTS.length

/** What the pins carry in one phase. */
export interface Row {
  /** A cell for each of {@link PINS}. */
  readonly cells: readonly CellCode[]
  readonly fixedLow: PinBits
  readonly fixedHigh: PinBits
}

/** A pad's phase table as a machine: its state is what it has counted, as far as that makes a difference. */
export interface PadModel {
  readonly kind: PadKind
  readonly states: number
  /** By state. */
  readonly next: readonly number[]
  readonly high: readonly Row[]
  readonly low: readonly Row[]
}

export type PadKind = 'three-buttons' | 'six-buttons-stay' | 'six-buttons-again'

/** Original pads as the trade has them: a pad that counts can stay after its last cycle, or start again. */
export const PAD_MODELS: readonly PadModel[] = [
  modelOf('three-buttons', { cycles: [THREE_BUTTON_CYCLE], after: { kind: 'start-again' } }),
  modelOf('six-buttons-stay', SIX_BUTTON_CHART),
  modelOf('six-buttons-again', { cycles: SIX_BUTTON_CHART.cycles, after: { kind: 'start-again' } }),
]

function modelOf(kind: PadKind, { cycles, after }: Chart): PadModel {
  const rows = after.kind === 'stay' ? [...cycles, after.reply] : cycles
  const last = rows.length - 1
  return {
    kind,
    states: rows.length,
    next: rows.map((_, state) => (state < last ? state + 1 : after.kind === 'stay' ? last : 0)),
    high: rows.map(({ high }) => rowOf(PINS.map((pin) => high[pin]))),
    low: rows.map(({ low }) => rowOf(PINS.map((pin) => low[pin]))),
  }
}

function rowOf(cells: readonly Cell[]): Row {
  const pinsWith = (wanted: Cell): PinBits =>
    cells.reduce((bits, cell, k) => (cell === wanted ? bits | (1 << k) : bits), 0)
  return {
    cells: cells.map((cell) => CELLS.indexOf(cell)),
    fixedLow: pinsWith('low'),
    fixedHigh: pinsWith('high'),
  }
}

/** What a phase says of the inputs: those that are held, and those that are not; `null` where the row cannot have given it. */
export function heldBy({ cells, fixedLow, fixedHigh }: Row, high: PinBits, known: PinBits): Held | null {
  if ((high & known & fixedLow) !== 0 || (~high & known & fixedHigh) !== 0) return null
  let held = 0
  let free = 0
  for (let pin = 0; pin < cells.length; pin++) {
    const code = cells[pin] as CellCode
    if (!isInputCell(code) || ((known >> pin) & 1) === 0) continue
    if ((high >> pin) & 1) free |= 1 << code
    else held |= 1 << code
  }
  return { held, free }
}

export interface Held {
  readonly held: InputMask
  readonly free: InputMask
}
