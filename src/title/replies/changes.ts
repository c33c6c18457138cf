import { PINS } from '../../port/pins.ts'
import { GLITCH_NS } from '../select-line.ts'
import type { Noted } from '../select-line.ts'
import { cellAt } from './cells.ts'
import type { Cells } from './cells.ts'
import { turnsFixed } from './idle-reset.ts'
import { isInputCell, UNKNOWN_CELL } from './pad-model.ts'
import type { CellCode, PadModel } from './pad-model.ts'
import { DataCursor, SETTLED_BY_NS, endOf, isHigh, startOf } from './phases.ts'
import type { Phases } from './phases.ts'

/** Changes of data lines that no edge of select explains; several lines in one phase count once. */
export interface Changes {
  /** What was held changed. */
  readonly presses: Noted
  /** The pad forgot its count. */
  readonly resets: Noted
  /** One or the other: the reply does not tell. */
  readonly either: Noted
}

type Kind = keyof Changes

/** @param rests phases that are rests */
export function changesOf(
  phases: Phases,
  cells: Cells,
  models: readonly PadModel[],
  rests: ReadonlySet<number>,
): Changes {
  const seen: Record<Kind, Map<number, number>> = {
    presses: new Map(),
    resets: new Map(),
    either: new Map(),
  }
  for (const line of phases.lines) {
    const pin = PINS.indexOf(line.pin)
    const cursor = new DataCursor(line)
    for (let k = 0; k < phases.count; k++) {
      const [startNs, endNs] = [startOf(phases, k), Math.min(endOf(phases, k), phases.untilNs)]
      let firstNs: number | null = null
      cursor.levelBefore(startNs)
      for (let atNs = cursor.changeBefore(endNs); atNs !== null; atNs = cursor.changeBefore(endNs)) {
        firstNs ??= atNs
        const isLate = rests.has(k) && atNs >= startNs + SETTLED_BY_NS
        const kind = isLate ? inRest(k, pin) : afterEdge(k, pin, atNs - firstNs)
        if (kind !== null && atNs < (seen[kind].get(k) ?? Infinity)) seen[kind].set(k, atNs)
      }
    }
  }
  return { presses: noted(seen.presses), resets: noted(seen.resets), either: noted(seen.either) }

  function inRest(phase: number, pin: number): Kind {
    const cell = cellAt(cells, phase, pin)
    const first = models.map((model) => (isHigh(phases, phase) ? model.high[0] : model.low[0])?.cells[pin])
    if (cell === UNKNOWN_CELL) return 'either'
    if (first.every((one) => one === cell)) return 'presses'
    return first.every((one) => turnsFixed(cell, one)) ? 'resets' : 'either'
  }

  /** A pin that carries what it carried before, and one that had settled, changes by a press. */
  function afterEdge(phase: number, pin: number, sinceFirstNs: number): Kind | null {
    const [before, now]: CellCode[] = [cellAt(cells, phase - 1, pin), cellAt(cells, phase, pin)]
    if (now === undefined || !isInputCell(now)) return null
    return before === now || sinceFirstNs > GLITCH_NS ? 'presses' : null
  }
}

function noted(byPhase: ReadonlyMap<number, number>): Noted {
  let firstNs = Infinity
  for (const atNs of byPhase.values()) firstNs = Math.min(firstNs, atNs)
  return { count: byPhase.size, firstNs: byPhase.size === 0 ? 0 : firstNs }
}
