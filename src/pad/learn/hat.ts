import { hatPosition } from '../extract.ts'
import type { Hat } from '../extract.ts'
import { hatAround } from '../hat-around.ts'
import type { Field } from '../layout/schema.ts'
import { LAYOUT_LIMITS } from '../layout/schema.ts'
import type { PressOutcome } from './decide.ts'

/** Clockwise, as a hat counts. */
export const HAT_WAYS = ['up', 'right', 'down', 'left'] as const
export type HatWay = (typeof HAT_WAYS)[number]

export interface FoundHat extends Hat {
  readonly field: Field
}

interface WayFound {
  readonly way: HatWay
  readonly finding: PressOutcome
}

/** A way as quarters of a turn from up, and its value. */
interface Quarter {
  readonly quarters: number
  readonly value: number
}

/** What a thumb that slipped leaves of four ways. */
const LEAST_AGREEING = 3
/** A value that lies by more than this share of a quarter turn beside its place does not agree: a quarter of the way to a diagonal, halved. */
const ASTRAY = 1 / 16

/** Where up would be, by each way: all the same in a hat. */
const firstsOf = (all: readonly WayFound[], positions: 4 | 8): number[] =>
  all.map(({ way, finding }) => finding.trace.value - (HAT_WAYS.indexOf(way) * positions) / 4)

/** The most frequent, and how often it is there. */
function majority(values: readonly number[]): { readonly value: number; readonly votes: number } {
  const votes = (value: number): number => values.filter((other) => other === value).length
  const value = values.toSorted((a, b) => votes(b) - votes(a))[0] ?? 0
  return { value, votes: votes(value) }
}

/** The ways that lie on the line through two of them; none where it falls. */
function onLine(all: readonly Quarter[], a: Quarter, b: Quarter): Line {
  const turn = (b.value - a.value) / (b.quarters - a.quarters)
  const up = a.value - a.quarters * turn
  const agreeing = all.filter(
    ({ quarters, value }) => Math.abs(value - up - quarters * turn) <= ASTRAY * turn,
  )
  return { turn, up, agreeing }
}
interface Line {
  /** Values from one way to the next. */
  readonly turn: number
  readonly up: number
  readonly agreeing: readonly Quarter[]
}

/** A hat by the values of its ways alone, whatever lies between them: most of them agree, and at rest it holds nothing. */
function spreadHat(all: readonly Quarter[], rest: number): Hat | null {
  const lines = all.flatMap((a, k) => all.slice(k + 1).map((b) => onLine(all, a, b)))
  const [best] = lines.toSorted((a, b) => b.agreeing.length - a.agreeing.length)
  if (best === undefined || best.agreeing.length < LEAST_AGREEING) return null
  const { up, turn, agreeing } = best
  const nothing = rest < up ? { below: rest } : { above: rest }
  for (const positions of [8, 4] as const) {
    const step = Math.floor((4 * turn) / positions)
    if (step < 1 || step > LAYOUT_LIMITS.hatStep) continue
    const hat = hatAround(Math.round(up), step, positions, nothing)
    const reads = agreeing.every(
      ({ quarters, value }) => hatPosition(hat, value) === (quarters * positions) / 4,
    )
    if (reads) return hat
  }
  return null
}

/** The hat that the ways of one cross make up; `null` if they make up none. */
export function hatOf(all: readonly WayFound[]): FoundHat | null {
  const [one] = all
  if (one === undefined || all.some(({ finding }) => finding.place !== one.finding.place)) return null
  const { kind, field, least, most } = one.finding.place
  const values = most - least + 1
  if (kind === 'hat' && (values === 8 || values === 4)) {
    const { value, votes } = majority(firstsOf(all, values))
    // A thumb that slipped to a diagonal is outvoted; a single way has the descriptor's word that up is the least.
    return votes >= 2 || (all.length === 1 && value === least)
      ? { field, first: value, step: 1, positions: values }
      : null
  }
  if (kind === 'hat') {
    const quarters = all.map(({ way, finding }) => ({
      quarters: HAT_WAYS.indexOf(way),
      value: finding.trace.value,
    }))
    const hat = spreadHat(quarters, one.finding.trace.rest)
    return hat && { field, ...hat }
  }
  // Undescribed bits: three of four separate buttons may look like a hat, four never do.
  if (kind !== 'raw-hat' || all.length < HAT_WAYS.length) return null
  for (const positions of [8, 4] as const) {
    const { value: first, votes } = majority(firstsOf(all, positions))
    const { rest } = one.finding.trace
    if (votes === all.length && (rest < first || rest >= first + positions))
      return { field, first, step: 1, positions }
  }
  return null
}
