import { INPUTS, inputBit, maskOf } from '../../port/pins.ts'
import type { InputMask } from '../../port/pins.ts'

/** Directions that a pad cannot hold together, and that show nothing together. */
export const AXES_HELD: readonly InputMask[] = [maskOf(['up', 'down']), maskOf(['left', 'right'])]

const isBoth = (held: InputMask): boolean => AXES_HELD.some((axis) => (held & axis) === axis)

/** All that a player is asked to hold: nothing, one thing, or two. */
export const HOLDS: readonly InputMask[] = [
  0,
  ...INPUTS.map(inputBit),
  ...INPUTS.flatMap((one, k) => INPUTS.slice(k + 1).map((other) => inputBit(one) | inputBit(other))),
].filter((held) => !isBoth(held))
