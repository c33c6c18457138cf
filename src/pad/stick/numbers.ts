import { AXIS_FULL } from '../extract.ts'
import type { StickSettings } from './settings.ts'

/**
 * The five numbers that decide what a stick holds; IMAGE.md ("Sticks") is the contract. Every engine must come to the same
 * image, and no standard fixes the last bit of `Math.tan`: what follows needs only + − × ÷ and √, which IEEE 754 rounds exactly.
 */
export interface StickNumbers {
  /** Distance from which on the stick holds something, 1 … 32767. */
  readonly press: number
  /** Distance below which it is let go. */
  readonly release: number
  /** Lesser over greater amount, in 1/32768, from which on a second direction joins one that is held, */
  readonly enter: number
  /** two directions come at once, */
  readonly begin: number
  /** and two stay. */
  readonly leave: number
}

/** A ratio of 1: equal amounts. */
export const RATIO_ONE = 32768
/** More than any lesser is of a greater: two directions never come. */
const NEVER = RATIO_ONE + 1

/** The tangent of 0° … 45°, to about 1e-16, by the series of sine and cosine. */
export function tangent(degrees: number): number {
  const x = (degrees * Math.PI) / 180
  let term = 1
  let cosine = 1
  let sine = 0
  // x²²/22! is below 1e-23 for 45°.
  for (let n = 1; n <= 22; n++) {
    term *= x / n
    const part = n % 4 < 2 ? term : -term
    if (n % 2 === 1) sine += part
    else cosine += part
  }
  return sine / cosine
}

/** tan(α + β) from tan α and tan β. */
const ofSum = (a: number, b: number): number => (a + b) / (1 - a * b)

/** The numbers that follow from what the user sets. */
export function stickNumbers(settings: StickSettings): StickNumbers {
  const { innerPercent, outerPercent, diagonalPercent, hysteresisPercent } = settings
  const distance = (percent: number): number => Math.floor((percent * outerPercent * AXIS_FULL) / 10_000)
  const press = distance(innerPercent)
  const release = distance(innerPercent - hysteresisPercent)

  // δ is only needed by its tangent, and tan arcsin s = s / √(1 − s²).
  const sine = (press - release) / (2 * release)
  const wanted = sine < 1 ? sine / Math.sqrt(1 - sine * sine) : Infinity
  if (diagonalPercent === 0) {
    const delta = Math.min(wanted, tangent(22.5))
    return { press, release, enter: NEVER, begin: NEVER, leave: Math.floor(RATIO_ONE * ofSum(1, -delta)) }
  }
  const degrees = (45 * (100 - diagonalPercent)) / 100
  const middle = tangent(degrees)
  const delta = Math.min(wanted, tangent(Math.min(degrees, 45 - degrees) / 2))
  return {
    press,
    release,
    enter: Math.ceil(RATIO_ONE * ofSum(middle, delta)),
    begin: Math.ceil(RATIO_ONE * middle),
    leave: Math.floor(RATIO_ONE * ofSum(middle, -delta)),
  }
}
