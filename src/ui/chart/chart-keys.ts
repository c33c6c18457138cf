import type { Cell } from '../../port/chart.ts'
import { CELLS } from '../../port/chart.ts'
import { CELL_KEYS } from './cell-words.ts'

/** What a key does on a focused cell. Steps are in what the eye sees: right and down. */
type CellAction =
  | { readonly kind: 'move'; readonly right: number; readonly down: number }
  | { readonly kind: 'row-start' | 'row-end' | 'first' | 'last' }
  | { readonly kind: 'put'; readonly cell: Cell }
  | { readonly kind: 'put-back' }
  | { readonly kind: 'menu' }
  | { readonly kind: 'leave' }

const MOVES: Readonly<Record<string, CellAction>> = {
  ArrowRight: { kind: 'move', right: 1, down: 0 },
  ArrowLeft: { kind: 'move', right: -1, down: 0 },
  ArrowDown: { kind: 'move', right: 0, down: 1 },
  ArrowUp: { kind: 'move', right: 0, down: -1 },
}

const OTHERS: Readonly<Record<string, CellAction>> = {
  Delete: { kind: 'put-back' },
  Backspace: { kind: 'put-back' },
  Enter: { kind: 'menu' },
  ' ': { kind: 'menu' },
  F2: { kind: 'menu' },
  Escape: { kind: 'leave' },
  '-': { kind: 'put', cell: 'low' },
  '–': { kind: 'put', cell: 'low' },
}

const PUTS = new Map(CELLS.map((cell) => [CELL_KEYS[cell], cell]))

/** The keys that matter of a keyboard event. */
interface Keys {
  readonly key: string
  readonly ctrlKey: boolean
  readonly metaKey: boolean
  readonly altKey: boolean
}

/** What a key means on a cell; undefined when it is not ours, and then the browser has it. */
export function actionOf({ key, ctrlKey, metaKey, altKey }: Keys): CellAction | undefined {
  if (altKey || metaKey) return undefined
  if (key === 'Home') return { kind: ctrlKey ? 'first' : 'row-start' }
  if (key === 'End') return { kind: ctrlKey ? 'last' : 'row-end' }
  // Ctrl with a letter is undo, copy and the like: never an input.
  if (ctrlKey) return undefined
  const put = key.length === 1 ? PUTS.get(key.toUpperCase()) : undefined
  return MOVES[key] ?? OTHERS[key] ?? (put && { kind: 'put', cell: put })
}
