import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { keptToFirstCycle } from '../../src/bench/plan/first-cycle.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { answerSymptoms, tryFirst } from '../../src/bench/symptoms.ts'
import { symptomsOf } from '../../src/bench/symptoms/symptoms.ts'
import type { Symptom } from '../../src/bench/symptoms/symptoms.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'

const present = BUILT_IN_PROFILES['six-button']
const judging = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const profiles = Object.entries(BUILT_IN_PROFILES).map(([name, profile]) => ({ name, profile }))
const options = { ...judging, profiles }
const cases: readonly (readonly Symptom[])[] = [['walks'], ['drops', 'sticks'], ['opposites'], ['nothing']]

describe('what helps', () => {
  const answers = cases.map((saw) => ({ saw, answer: workToEnd(answerSymptoms({ present, saw, options })) }))

  it('promises for part of the causes what the bench keeps, and nothing does better', () => {
    for (const { saw, answer } of answers) {
      const left = answer.causes.filter((_, at) => at % 2 === 0)
      const best = tryFirst(
        answer.helping,
        left.map(({ pattern }) => pattern),
      )
      const servedBy = (profile: Profile): number =>
        left.filter(
          ({ title }) =>
            saw.every((symptom) => !symptomsOf(profile, title, judging).has(symptom)) &&
            judge(profile, title, judging).verdict !== 'misread',
        ).length
      const others = options.profiles.map(({ profile }) => profile)
      const most = Math.max(...[...others, keptToFirstCycle(present)].map(servedBy))
      expect(best?.serves ?? 0).toBeGreaterThanOrEqual(most)
      if (best?.remedy.kind === 'power-on') expect(servedBy(keptToFirstCycle(present))).toBe(best.serves)
      if (best?.remedy.kind === 'setting')
        expect(servedBy({ ...present, ...best.remedy.set })).toBe(best.serves)
    }
  })

  it('tries nothing where nothing is left', () => {
    expect(tryFirst([{ remedy: { kind: 'profile', name: 'x' }, patterns: ['a'] }], ['b'])).toBeNull()
  })
})
