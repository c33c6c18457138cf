import { expect } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { isRight } from '../../src/bench/judgement.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { READ_PATTERNS } from '../../src/bench/symptoms/patterns.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Title } from '../../src/title/schema.ts'
import { onePossibility } from '../reference/every-possibility.ts'
import { chanceOf } from '../title/infer/capture-of.ts'
import { edgesOf } from './probe-player.ts'

/** Titles of which something is open, one of all that each may be, and what a verdict that was found has to agree with. */

export const SIX = BUILT_IN_PROFILES['six-button']
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
/** The patterns of the bench as a capture of their edges leaves them; those that sample sooner than any program do so whatever is asked. */
export const OPEN_PATTERNS = READ_PATTERNS.filter(({ family }) => family !== 'soon').map(({ id, title }) => ({
  id,
  title: edgesOf(title),
}))

/** One of all that a title may be. */
export const truthOf = (title: Title, seed: number): Title => onePossibility(title, chanceOf(seed + 1).oneOf)

export const verdictOf = (title: Title) => judge(SIX, title, options)

/** Where what was found is decided, it is what is true. */
export function expectNoContradiction(found: Title, truth: Title): void {
  const { verdict } = verdictOf(found)
  if (verdict === 'undecided') return
  expect(isRight({ verdict })).toBe(isRight(verdictOf(truth)))
}
