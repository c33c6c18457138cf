import type { Gate } from './settings.ts'
import { RATIO_ONE } from './numbers.ts'
import type { StickNumbers } from './numbers.ts'

/** Bits of what a stick holds, in the order of the controls `stick-…-up`, `-down`, `-left`, `-right`. */
export const UP = 1
export const DOWN = 2
export const LEFT = 4
export const RIGHT = 8

/** √½ in 1/65536, rounded up. */
const ROOT_HALF = 46341

/** Whether the gate's distance of a place is at least a limit. Every product here fits 32 bits without sign. */
function reaches(gate: Gate, ax: number, ay: number, limit: number): boolean {
  switch (gate) {
    case 'circle':
      return ax * ax + ay * ay >= limit * limit
    case 'square':
      return Math.max(ax, ay) >= limit
    case 'octagon':
      return Math.max(ax, ay) >= limit || (ax + ay) * ROOT_HALF >= limit * 0x10000
  }
}

/**
 * The directions that a stick holds, after those that it held before: IMAGE.md ("Sticks"). The firmware computes the same.
 *
 * @param x to the right, −32767 … 32767
 * @param y downwards
 * @param before what this gave last; 0 at first
 */
export function stickDirection(
  numbers: StickNumbers,
  gate: Gate,
  x: number,
  y: number,
  before: number,
): number {
  const ax = Math.abs(x)
  const ay = Math.abs(y)
  if (!reaches(gate, ax, ay, before === 0 ? numbers.press : numbers.release)) return 0

  const horizontal = x < 0 ? LEFT : RIGHT
  const vertical = y < 0 ? UP : DOWN
  const twoBefore = (before & (before - 1)) !== 0
  const ratio = twoBefore ? numbers.leave : before === 0 ? numbers.begin : numbers.enter
  if (Math.min(ax, ay) * RATIO_ONE >= Math.max(ax, ay) * ratio) return horizontal | vertical

  // Four directions only: the one that is held stays a little beyond the middle.
  if (numbers.enter > RATIO_ONE) {
    if (before === horizontal && ax * RATIO_ONE >= ay * numbers.leave) return horizontal
    if (before === vertical && ay * RATIO_ONE >= ax * numbers.leave) return vertical
  }
  return ax >= ay ? horizontal : vertical
}
