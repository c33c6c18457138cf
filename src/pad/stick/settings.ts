import * as v from 'valibot'
import { whole } from '../../document/fields.ts'
import type { Frozen } from '../../document/frozen.ts'
import { t } from './stick-file-texts.ts'

/** How a stick becomes eight directions. IMAGE.md ("Sticks") says what the numbers mean, to the last unit. */

/** The line of equal distance from the centre: what the stick runs along when it is rolled round its edge. */
export const GATES = ['circle', 'square', 'octagon'] as const

/** In per cent. */
export const STICK_LIMITS = {
  minInner: 5,
  maxInner: 95,
  minOuter: 20,
  maxOuter: 100,
  maxDiagonal: 90,
  minHysteresis: 1,
  maxHysteresis: 50,
} as const

export const StickSchema = v.pipe(
  v.strictObject({
    gate: v.picklist(GATES),
    /** A direction presses from this share of full travel, */
    innerPercent: whole(STICK_LIMITS.minInner, STICK_LIMITS.maxInner),
    /** which is reached at so much of the stick's travel: a worn stick does not come to its end. */
    outerPercent: whole(STICK_LIMITS.minOuter, STICK_LIMITS.maxOuter),
    /** How much of the circle belongs to the four diagonals; 0: four directions only. */
    diagonalPercent: whole(0, STICK_LIMITS.maxDiagonal),
    /** Movement of so much of the way, in any direction, never makes it chatter. */
    hysteresisPercent: whole(STICK_LIMITS.minHysteresis, STICK_LIMITS.maxHysteresis),
  }),
  v.check(
    ({ innerPercent, hysteresisPercent }) => hysteresisPercent < innerPercent,
    () => t.neverReleases,
  ),
)

export type StickSettings = Frozen<v.InferOutput<typeof StickSchema>>
export type Gate = (typeof GATES)[number]

export const USUAL_STICK: StickSettings = {
  gate: 'circle',
  innerPercent: 50,
  outerPercent: 90,
  diagonalPercent: 50,
  hysteresisPercent: 10,
}
