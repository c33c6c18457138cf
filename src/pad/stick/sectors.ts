import { DOWN, LEFT, RIGHT, UP } from './direction.ts'
import { RATIO_ONE } from './numbers.ts'
import type { StickNumbers } from './numbers.ts'
import type { Gate } from './settings.ts'

/** What the numbers of a stick come to, as angles and distances to draw and to tell. */

/** Two angles in degrees, clockwise from up; `from` may be below 0 or `to` above 360. */
export interface Arc {
  readonly fromDegrees: number
  readonly toDegrees: number
}

export interface Sector {
  /** The bits of `direction.ts`. */
  readonly directions: number
  /** Held when the stick comes straight from the middle. */
  readonly begun: Arc
  /** Taken over from a neighbour. */
  readonly entered: Arc
  /** Kept until the stick goes beyond. */
  readonly left: Arc
}

const degrees = (ratio: number): number => (Math.atan(ratio) * 180) / Math.PI

const STRAIGHT = [UP, RIGHT, DOWN, LEFT] as const
const DIAGONAL = [UP | RIGHT, DOWN | RIGHT, DOWN | LEFT, UP | LEFT] as const

/** The angles, measured from an axis, at which two directions come or go. */
function linesOf({ enter, begin, leave }: StickNumbers) {
  const leaveDegrees = degrees(leave / RATIO_ONE)
  // Four directions only: the line runs at 45°, and what is held stays as far beyond it as `leave` is on this side.
  if (enter > RATIO_ONE) return { four: true, enter: 90 - leaveDegrees, begin: 45, leave: leaveDegrees }
  return {
    four: false,
    enter: degrees(enter / RATIO_ONE),
    begin: degrees(begin / RATIO_ONE),
    leave: leaveDegrees,
  }
}

/** The four or eight sectors, clockwise from up. */
export function stickSectors(numbers: StickNumbers): readonly Sector[] {
  const lines = linesOf(numbers)
  const around = (middle: number, half: number): Arc => ({
    fromDegrees: middle - half,
    toDegrees: middle + half,
  })
  return STRAIGHT.flatMap((directions, quarter) => {
    const straight: Sector = {
      directions,
      begun: around(90 * quarter, lines.begin),
      entered: around(90 * quarter, lines.leave),
      left: around(90 * quarter, lines.enter),
    }
    if (lines.four) return [straight]
    const middle = 90 * quarter + 45
    return [
      straight,
      {
        directions: DIAGONAL[quarter] ?? 0,
        begun: around(middle, 45 - lines.begin),
        entered: around(middle, 45 - lines.enter),
        left: around(middle, 45 - lines.leave),
      },
    ]
  })
}

/** How far out a gate's line of one distance runs, at an angle of 0° … 90° from an axis: a factor for the distance. */
export function gateRadius(gate: Gate, angleDegrees: number): number {
  const angle = (angleDegrees * Math.PI) / 180
  const hi = Math.max(Math.cos(angle), Math.sin(angle))
  switch (gate) {
    case 'circle':
      return 1
    case 'square':
      return 1 / hi
    case 'octagon':
      return 1 / Math.max(hi, (Math.cos(angle) + Math.sin(angle)) * Math.SQRT1_2)
  }
}

/**
 * How much noise is borne, in axis units: a stick whose reports all lie within so much of each other, whichever way they
 * scatter, never comes back to what it held before.
 */
export function noiseBorne(numbers: StickNumbers, gate: Gate): number {
  const { press, release } = numbers
  const { enter, leave } = linesOf(numbers)
  // The two lines spread, so they are nearest where they start: at the gate's line of `release`, or beside it.
  const apart = ((enter - leave) * Math.PI) / 180
  const a = release * gateRadius(gate, leave)
  const b = release * gateRadius(gate, enter)
  const [near, far] = a < b ? [a, b] : [b, a]
  const across =
    far * Math.cos(apart) > near
      ? far * Math.sin(apart)
      : Math.sqrt(near * near + far * far - 2 * near * far * Math.cos(apart))
  return Math.min(press - release, across)
}
