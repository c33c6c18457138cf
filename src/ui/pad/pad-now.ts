import type { ControlMask } from '../../pad/controls.ts'
import type { StickPosition } from '../../pad/extract.ts'

/** Where both sticks stand. */
export interface StickPositions {
  readonly left: StickPosition
  readonly right: StickPosition
}

/** What a pad says now. */
export interface PadNow {
  readonly held: ControlMask
  readonly sticks: StickPositions
}

export const AT_REST: PadNow = { held: 0, sticks: { left: { x: 0, y: 0 }, right: { x: 0, y: 0 } } }

export const samePositions = (a: StickPositions, b: StickPositions): boolean =>
  a.left.x === b.left.x && a.left.y === b.left.y && a.right.x === b.right.x && a.right.y === b.right.y

/** What each pad says, by its key. */
export const noPads = (): Map<string, PadNow> => new Map()
