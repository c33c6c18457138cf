import { AXIS_FULL } from '../../pad/extract.ts'
import type { StickPosition } from '../../pad/extract.ts'
import { gateRadius } from '../../pad/stick/sectors.ts'
import type { Arc } from '../../pad/stick/sectors.ts'
import type { Gate } from '../../pad/stick/settings.ts'

/**
 * Angles and distances as the screen tells them: 0° is right, counted anticlockwise as in a textbook; distances in per cent of
 * the stick's travel, measured along the gate.
 */

export interface Polar {
  /** 0 … 360, without 360. */
  readonly degrees: number
  readonly percent: number
}

const modulo = (value: number, by: number): number => ((value % by) + by) % by

/** An arc that was counted clockwise from up. It runs anticlockwise from `from` to `to`; either may be outside of 0° … 360°. */
export const textbookArc = ({ fromDegrees, toDegrees }: Arc): { from: number; to: number } => ({
  from: 90 - toDegrees,
  to: 90 - fromDegrees,
})

/** The angle within a quarter of the plane, from the nearer end of an axis on. */
const inQuarter = (degrees: number): number => modulo(degrees, 90)

/** How far from the middle a gate's line of one distance is, at any angle. */
export const radiusAt = (gate: Gate, distance: number, degrees: number): number =>
  distance * gateRadius(gate, inQuarter(degrees))

export function polarOf(gate: Gate, { x, y }: StickPosition): Polar {
  const radius = Math.hypot(x, y)
  const degrees = radius === 0 ? 0 : modulo((Math.atan2(-y, x) * 180) / Math.PI, 360)
  return { degrees, percent: (100 * radius) / radiusAt(gate, AXIS_FULL, degrees) }
}

/** A place from an angle and a distance from the middle, as axes count: `y` downwards. */
export function placeAt(radius: number, degrees: number): StickPosition {
  const angle = (degrees * Math.PI) / 180
  return { x: radius * Math.cos(angle), y: -radius * Math.sin(angle) }
}
