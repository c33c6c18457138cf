import type { Hat } from './extract.ts'

/** The nearest values on either side of up that mean that nothing is held, where they are known. */
export interface Nothing {
  readonly below?: number | undefined
  readonly above?: number | undefined
}

/**
 * A hat whose positions lie `step` values apart from `up` on: each has the values about its own one, so that a pad which counts
 * a little off is read too, but moved aside where values that mean nothing lie in between.
 */
export function hatAround(up: number, step: number, positions: 4 | 8, nothing: Nothing = {}): Hat {
  const { below = -Infinity, above = Infinity } = nothing
  const centred = up - (step >> 1)
  return { first: Math.max(below + 1, Math.min(above - positions * step, centred)), step, positions }
}
