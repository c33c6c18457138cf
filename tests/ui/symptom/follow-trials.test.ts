import { describe, expect, it } from 'vitest'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { answerSymptoms } from '../../../src/bench/symptoms.ts'
import type { TrialStep } from '../../../src/bench/symptoms/trials.ts'
import { workToEnd } from '../../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { sourcesFrom } from '../../../src/ui/symptom/sources.ts'
import { followTrials } from '../../../src/ui/symptom/follow-trials.ts'

const { trial, causes } = workToEnd(
  answerSymptoms({
    present: BUILT_IN_PROFILES['six-button'],
    saw: ['walks'],
    options: {
      adapter: REFERENCE_ADAPTER,
      marginNs: DEFAULT_MARGIN_NS,
      profiles: sourcesFrom([], ''),
    },
  }),
)

/** All that can be seen, trial by trial, with where it leads. */
function paths(step: TrialStep | null, before: readonly string[] = []): { seen: string[]; left: string[] }[] {
  return (step?.outcomes ?? []).flatMap(({ saw, patterns, next }) => {
    const seen = [...before, saw]
    return [{ seen, left: patterns.map(({ id }) => id) }, ...paths(next, seen)]
  })
}

describe('the trail of trials', () => {
  const all = paths(trial)

  it('begins with everything left', () => {
    expect(followTrials(trial, [])).toEqual({ taken: [], next: trial, left: null })
    expect(followTrials(null, ['x'])).toEqual({ taken: [], next: null, left: null })
  })

  it('leaves what the bench leaves, on every path', () => {
    expect(all.some(({ seen }) => seen.length > 1)).toBe(true)
    for (const { seen, left } of all) {
      const trail = followTrials(trial, seen)
      expect(trail.left).toEqual(left)
      expect(trail.taken.map(({ saw }) => saw)).toEqual(seen)
    }
  })

  it('never loses the cause: some path ends with each, and no step adds one', () => {
    const ends = new Set(all.flatMap(({ left }) => left))
    expect(ends).toEqual(new Set(causes.map(({ pattern }) => pattern)))
    for (const { seen, left } of all) {
      const before = followTrials(trial, seen.slice(0, -1)).left
      if (before !== null) expect(before).toEqual(expect.arrayContaining(left))
    }
  })

  it('stops where a trial has no such outcome', () => {
    const { seen } = all.find((one) => one.seen.length > 1) ?? { seen: [] }
    expect(followTrials(trial, [...seen.slice(0, 1), 'no such thing', ...seen.slice(1)])).toEqual(
      followTrials(trial, seen.slice(0, 1)),
    )
  })
})
