import { inputBit } from '../port/pins.ts'
import type { InputMask } from '../port/pins.ts'
import type { OppositePolicy } from './schema.ts'

/** The two axes: the first of a pair counts as pressed first when both come in the same instant. */
export const AXES = {
  vertical: [inputBit('up'), inputBit('down')],
  horizontal: [inputBit('left'), inputBit('right')],
} as const satisfies Record<string, readonly [InputMask, InputMask]>

/** Which direction of an axis was held before the other joined it; 0 while fewer than two are held. */
export type FirstHeld = InputMask

/**
 * Which direction of the pair came first, after the held inputs changed from `before` to `now`.
 *
 * @param first the answer before the change
 */
export function firstOfPair(
  pair: readonly [InputMask, InputMask],
  before: InputMask,
  now: InputMask,
  first: FirstHeld,
): FirstHeld {
  const [a, b] = pair
  if ((now & (a | b)) !== (a | b)) return 0
  if (first !== 0) return first
  return (before & (a | b)) === b ? b : a
}

/** What is left of the pair under a policy. */
export function applyOpposite(
  policy: OppositePolicy,
  pair: readonly [InputMask, InputMask],
  held: InputMask,
  first: FirstHeld,
): InputMask {
  const both = pair[0] | pair[1]
  if ((held & both) !== both || policy === 'as-held') return held
  const rest = held & ~both
  if (policy === 'neutral') return rest
  return rest | (policy === 'first' ? first : both & ~first)
}
