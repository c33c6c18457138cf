import type { Input } from '../../port/pins.ts'
import { ok } from '../../port/result.ts'
import type { Result } from '../../port/result.ts'
import type { StepsOfWork } from '../../port/steps-of-work.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { CabledAdapter } from '../judgement.ts'
import { seenAtRate } from './seen.ts'
import type { RepeatSeen } from './seen.ts'

/** Reads up to which rates are tried, pressed and released. */
export const MOST_READS = 8

/**
 * What a title sees of every rate from 1 to `most` reads pressed and released; pressed reads change slowest. A step for each rate.
 *
 * The error is a sentence.
 */
export function* tryingRates(
  profile: Profile,
  title: Title,
  adapter: CabledAdapter,
  input: Input,
  most = MOST_READS,
): StepsOfWork<undefined, Result<readonly RepeatSeen[], string>> {
  const grid: RepeatSeen[] = []
  for (let pressedReads = 1; pressedReads <= most; pressedReads++)
    for (let releasedReads = 1; releasedReads <= most; releasedReads++) {
      const seen = seenAtRate(profile, title, adapter, input, { pressedReads, releasedReads })
      if (!seen.ok) return seen
      grid.push(seen.value)
      yield
    }
  return ok(grid)
}

/** The rates of a grid that a title does not see as they were asked for. */
export const aliases = (grid: readonly RepeatSeen[]): readonly RepeatSeen[] =>
  grid.filter(({ finding }) => finding !== 'as-asked')
