import type { Input, InputMask } from '../../port/pins.ts'
import { ALL_INPUTS, INPUTS } from '../../port/pins.ts'
import { coursesIn, heldIn, isExplained } from './decode.ts'
import type { Decoded } from './decode.ts'
import type { Held } from './pad-model.ts'
import type { Phases } from './phases.ts'
import type { Segment } from './segments.ts'

/** One input, in how many reads it was held and how many show whether it was. */
export interface HeldInput {
  readonly input: Input
  readonly held: number
  readonly of: number
}

/** What was held in each segment, as far as all that the pad can have counted agrees; `null` where nothing is known. */
export function heldThrough(
  phases: Phases,
  segments: readonly Segment[],
  decoded: readonly Decoded[],
): (Held | null)[] {
  return segments.map((segment, k) => {
    let held: InputMask = ALL_INPUTS
    let free: InputMask = ALL_INPUTS
    for (const one of decoded) {
      if (!isExplained(one, k)) return null
      for (const course of coursesIn(one, k)) {
        const said = heldIn(one.model, course, phases, segment)
        held &= said.held
        free &= said.free
      }
    }
    return decoded.length === 0 ? null : { held, free }
  })
}

/** For each input that some read shows, how often it was held. */
export function heldInputs(all: readonly (Held | null)[]): HeldInput[] {
  const count = (wanted: 'held' | 'free', k: number): number =>
    all.reduce((sum, one) => sum + (one === null ? 0 : (one[wanted] >> k) & 1), 0)
  return INPUTS.map((input, k) => {
    const held = count('held', k)
    return { input, held, of: held + count('free', k) }
  }).filter(({ of }) => of > 0)
}
