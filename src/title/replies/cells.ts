import { PINS } from '../../port/pins.ts'
import { coursesIn, isExplained, rowsAlong } from './decode.ts'
import type { Decoded } from './decode.ts'
import { UNKNOWN_CELL } from './pad-model.ts'
import type { CellCode } from './pad-model.ts'
import type { Phases } from './phases.ts'
import type { Segment } from './segments.ts'

/** For each phase and each pin the cell that it carried, where all that the pad may be and may have counted agrees on it. */
export type Cells = Int8Array

export const cellAt = (cells: Cells, phase: number, pin: number): CellCode =>
  phase < 0 ? UNKNOWN_CELL : (cells[PINS.length * phase + pin] ?? UNKNOWN_CELL)

const NOT_YET = -2

export function cellsOf(phases: Phases, segments: readonly Segment[], decoded: readonly Decoded[]): Cells {
  const cells = new Int8Array(PINS.length * phases.count).fill(NOT_YET)
  const lay = (phase: number, codes: readonly CellCode[]): void => {
    for (let pin = 0; pin < PINS.length; pin++) {
      const at = PINS.length * phase + pin
      if (cells[at] === NOT_YET) cells[at] = codes[pin] as CellCode
      else if (cells[at] !== codes[pin]) cells[at] = UNKNOWN_CELL
    }
  }
  const unknown = PINS.map(() => UNKNOWN_CELL)
  for (const one of decoded)
    segments.forEach((segment, k) => {
      const { first, last } = segment
      if (!isExplained(one, k)) for (let phase = first; phase <= last; phase++) lay(phase, unknown)
      for (const course of coursesIn(one, k))
        for (const { phase, row } of rowsAlong(one.model, course, phases, segment)) lay(phase, row.cells)
    })
  for (let at = 0; at < cells.length; at++) if (cells[at] === NOT_YET) cells[at] = UNKNOWN_CELL
  return cells
}
