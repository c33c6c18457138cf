import type { Held, PadModel, Row } from './pad-model.ts'
import { heldBy } from './pad-model.ts'
import { hasEdge, isHigh } from './phases.ts'
import type { Phases } from './phases.ts'
import { MOST_RESET_NS } from './segments.ts'
import type { Segment } from './segments.ts'

/** States of a model as bits. */
export type States = number

/** What a model makes of a line. All by segment. */
export interface Decoded {
  readonly model: PadModel
  /** In which states it can have begun, by the fixed levels in it alone: an input that changes right at an edge looks like another count. */
  readonly alone: Uint8Array
  /** The same if the reset came between what the read opens with and its first rise. */
  readonly lateAlone: Uint8Array
  /** Where its last phase can leave it, by the fixed levels in it and in all that came before. */
  readonly ends: Uint8Array
  /** In which states it can have begun, by the fixed levels in it and in all that came before. */
  readonly starts: Uint8Array
  /** Whether one of them, or a late reset, explains it with nothing that is held changing in it. */
  readonly isSteady: Uint8Array
  /** Segments of which that is not so. */
  readonly odd: number
}

/** How a pad can have counted through a segment. */
export interface Course {
  readonly start: number
  /** Whether it forgot its count right before the first rise, after the read had opened. */
  readonly isLate: boolean
}

export const isExplained = ({ isSteady }: Decoded, k: number): boolean => isSteady[k] === 1

export function* coursesIn({ starts, lateAlone }: Decoded, k: number): Generator<Course> {
  for (const start of statesIn(starts[k] as number)) yield { start, isLate: false }
  for (const start of statesIn(lateAlone[k] as number)) yield { start, isLate: true }
}

export const isRise = (phases: Phases, phase: number): boolean =>
  hasEdge(phases, phase) && isHigh(phases, phase)

export const allStates = ({ states }: PadModel): States => (1 << states) - 1

export function decode(model: PadModel, phases: Phases, segments: readonly Segment[]): Decoded {
  const none = () => new Uint8Array(segments.length)
  const decoded = { alone: none(), lateAlone: none(), ends: none(), starts: none(), isSteady: none() }
  const { alone, lateAlone, ends, starts, isSteady } = decoded
  let odd = 0
  let before: States = allStates(model)
  segments.forEach((segment, k) => {
    const { first, last, gapNs } = segment
    const isShort = gapNs !== null && gapNs < MOST_RESET_NS
    const can = gapNs === null ? allStates(model) : !isShort ? 1 : gapNs > 0 ? before | 1 : before
    const plain = coursesOf(model, phases, segment, can, false)
    // Only what has not been forgotten yet can be forgotten late.
    const canBeLate = gapNs !== 0 && !isRise(phases, first)
    const late = canBeLate ? coursesOf(model, phases, segment, can & ~1, true) : { fixed: 0, steady: 0 }
    alone[k] = coursesOf(model, phases, segment, allStates(model), false).fixed
    lateAlone[k] = late.fixed
    starts[k] = plain.fixed
    isSteady[k] = plain.steady !== 0 || late.steady !== 0 ? 1 : 0
    if (isSteady[k] === 0) odd++
    let rises = 0
    for (let phase = first; phase <= last; phase++) if (isRise(phases, phase)) rises++
    const isLost = plain.fixed === 0 && late.fixed === 0
    const ended =
      afterRises(model, isLost ? allStates(model) : plain.fixed, rises) |
      (late.fixed === 0 ? 0 : afterRises(model, 1, rises))
    ends[k] = ended
    before = ended
  })
  return { model, ...decoded, odd }
}

/** The states in which a segment can have begun: by its fixed levels, and of these with nothing that is held changing in it. */
function coursesOf(model: PadModel, phases: Phases, segment: Segment, can: States, isLate: boolean) {
  let fixed: States = 0
  let steady: States = 0
  for (const start of statesIn(can)) {
    const said = saidIn(model, { start, isLate }, phases, segment)
    if (said === null) continue
    fixed |= 1 << start
    if ((said.held & said.free) === 0) steady |= 1 << start
  }
  return { fixed, steady }
}

function afterRises(model: PadModel, from: States, rises: number): States {
  let states = from
  for (let k = 0; k < rises; k++) states = afterRise(model, states)
  return states
}

function afterRise({ next, states }: PadModel, from: States): States {
  let to = 0
  for (let state = 0; state < states; state++) if ((from >> state) & 1) to |= 1 << (next[state] as number)
  return to
}

/** What the pins carry in each phase of a segment. */
export function* rowsAlong(
  model: PadModel,
  { start, isLate }: Course,
  phases: Phases,
  { first, last }: Segment,
): Generator<{ readonly phase: number; readonly row: Row }> {
  let state = start
  let hasRisen = false
  for (let phase = first; phase <= last; phase++) {
    if (isRise(phases, phase)) {
      state = model.next[isLate && !hasRisen ? 0 : state] as number
      hasRisen = true
    }
    yield { phase, row: (isHigh(phases, phase) ? model.high[state] : model.low[state]) as Row }
  }
}

/** What was held and what was not at some time of a segment; `null`: its fixed levels are not those of that course. */
function saidIn(model: PadModel, course: Course, phases: Phases, segment: Segment): Held | null {
  let held = 0
  let free = 0
  for (const { phase, row } of rowsAlong(model, course, phases, segment)) {
    const said = heldBy(row, phases.high[phase] as number, phases.known[phase] as number)
    if (said === null) return null
    held |= said.held
    free |= said.free
  }
  return { held, free }
}

/** What was held, and what was not, throughout a segment that took one of its {@link coursesIn}. */
export function heldIn(model: PadModel, course: Course, phases: Phases, segment: Segment): Held {
  const { held, free } = saidIn(model, course, phases, segment) ?? { held: 0, free: 0 }
  return { held: held & ~free, free: free & ~held }
}

/** The states in a set, from the first. */
function* statesIn(states: States): Generator<number> {
  for (let state = 0; states >> state > 0; state++) if ((states >> state) & 1) yield state
}
