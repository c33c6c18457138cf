import type { Cell } from '../../port/chart.ts'
import type { CellRef } from '../../profile/chart-commands.ts'

/** What the head of a cycle offers while the chart is unlocked. Cycles count from 0. */
export type ChartCommand =
  | { readonly kind: 'add-cycle' }
  | { readonly kind: 'remove-cycle'; readonly cycle: number }
  /** This cycle becomes the last; what follows is the three-button reply. */
  | { readonly kind: 'stop-after'; readonly cycle: number }
  | { readonly kind: 'start-again' }
  | { readonly kind: 'stay' }

export type OnEdit = (ref: CellRef, cell: Cell) => void
export type OnCommand = (command: ChartCommand) => void
