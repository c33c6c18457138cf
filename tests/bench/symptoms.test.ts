import fc from 'fast-check'
import * as v from 'valibot'
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { answerSymptoms, tryFirst as firstOf } from '../../src/bench/symptoms.ts'
import type { ExplainOptions } from '../../src/bench/symptoms.ts'
import { matchPatterns } from '../../src/bench/symptoms/match.ts'
import { READ_PATTERNS } from '../../src/bench/symptoms/patterns.ts'
import type { ReadPattern } from '../../src/bench/symptoms/patterns.ts'
import { SYMPTOM_NAMES, symptomsOf } from '../../src/bench/symptoms/symptoms.ts'
import type { Symptom } from '../../src/bench/symptoms/symptoms.ts'
import { information, nextTrial, remedies, trials } from '../../src/bench/symptoms/trials.ts'
import type { Trial, TrialStep } from '../../src/bench/symptoms/trials.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { TitleSchema } from '../../src/title/schema.ts'
import { arbTitle } from './arbitrary-title.ts'
import { withShort } from './short-titles.ts'
import { draws } from '../draws.ts'

const JUDGING = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const BUILT_IN = Object.entries(BUILT_IN_PROFILES).map(([name, profile]) => ({ name, profile }))
const OPTIONS = { ...JUDGING, profiles: BUILT_IN }
const six = BUILT_IN_PROFILES['six-button']
const three = BUILT_IN_PROFILES['three-button']

/** The answer, and what it has people try first. */
function explainSymptoms(present: Profile, saw: readonly Symptom[], options: ExplainOptions) {
  const { helping, ...answer } = workToEnd(answerSymptoms({ present, saw, options }))
  const patterns = answer.causes.map(({ pattern }) => pattern)
  return { ...answer, tryFirst: firstOf(helping, patterns) }
}

const patternOf = (id: string): ReadPattern => {
  const found = READ_PATTERNS.find((pattern) => pattern.id === id)
  if (found === undefined) throw new Error(`there is no read pattern ${id}`)
  return found
}
const shows = (profile: Profile, id: string): Symptom[] =>
  [...symptomsOf(profile, patternOf(id).title, JUDGING)].sort()

const arbPattern = fc.constantFrom(...READ_PATTERNS)
/** Profiles that differ in what the bench minds: cells, idle reset, delay, opposite directions. */
const arbPresent: fc.Arbitrary<Profile> = fc
  .record({
    base: fc.constantFrom<Profile>(six, three),
    idleResetNs: fc.constantFrom(1_100_000, 1_500_000, 1_800_000),
    delayNs: fc.constantFrom(0, 16, 56),
    policy: fc.constantFrom('as-held' as const, 'neutral' as const, 'last' as const),
    startsAgain: fc.boolean(),
  })
  .map(({ base, idleResetNs, delayNs, policy, startsAgain }) => ({
    ...base,
    idleResetNs,
    delayNs,
    opposite: { vertical: policy, horizontal: policy },
    chart: startsAgain ? { cycles: base.chart.cycles, after: { kind: 'start-again' } } : base.chart,
  }))

/** What timing brings about; the others lie in what a title knows and copes with. */
const isFault = (symptom: Symptom): boolean => !['extras-dead', 'nothing', 'opposites'].includes(symptom)

describe('the read patterns', () => {
  it('are sound titles with ids of their own', () => {
    for (const { title } of READ_PATTERNS) expect(v.parse(TitleSchema, title)).toEqual(title)
    expect(new Set(READ_PATTERNS.map(({ id }) => id)).size).toBe(READ_PATTERNS.length)
  })

  // Common practice, no source: a title that walks by itself with six buttons is fine once Mode is held at power-on.
  it.each(['burst-3', 'burst-5', 'often-3', 'rests-low-2', 'last-of-3'])(
    '%s walks with six buttons and not with three',
    (id) => {
      expect(shows(six, id)).toContain('walks')
      expect(shows(three, id)).toEqual(['extras-dead'])
    },
  )

  it.each<[string, Profile, Symptom[]]>([
    ['one-cycle', six, ['extras-dead']],
    ['six', six, []],
    ['six', three, ['extras-dead', 'opposites']],
    ['six-for-granted', three, ['extras-dead', 'jumps']],
    ['soon-15', three, ['dead', 'extras-dead', 'jumps', 'pauses']],
    ['released-7000', three, ['drops', 'extras-dead', 'jumps', 'walks']],
    ['last-of-4', six, ['dead', 'extras-dead', 'sticks']],
    ['six-released-3500', six, ['fires']],
    ['one-direction', six, ['extras-dead', 'opposites']],
    ['one-direction', { ...six, opposite: { vertical: 'neutral', horizontal: 'last' } }, ['extras-dead']],
    ['apart-1700', six, ['extras-dead']],
  ])('%s', (id, profile, symptoms) => {
    expect(shows(profile, id).filter((symptom) => symptom !== 'drops' || symptoms.includes('drops'))).toEqual(
      symptoms,
    )
  })

  it.each(['apart-1500', 'uneven', 'drifts', 'soon-120', 'soon-220', 'released-2300'])(
    '%s is fine at first and goes wrong later',
    (id) => {
      expect(shows(six, id)).toContain('later')
      expect(shows(six, id).filter(isFault).length).toBeGreaterThan(1)
    },
  )

  it('what is wrong from the start is not told as something that comes later', () => {
    const { title } = patternOf('often-3')
    const hasty = withShort(title, { sampleAfterEdgeNs: { minNs: 110, maxNs: 110 } })
    expect([...symptomsOf(six, withShort(hasty, { readOffsetsNs: [250_000] }), JUDGING)]).toContain('later')
    expect([...symptomsOf(six, hasty, JUDGING)].sort()).toEqual(['extras-dead', 'walks'])
  })

  it('nobody holds what the profile cannot press', () => {
    const bare: Profile = { ...six, mapping: three.mapping }
    expect(shows(six, 'last-of-4')).toContain('sticks')
    expect(shows(bare, 'last-of-4')).toEqual(['dead', 'extras-dead'])
  })

  it('nothing comes of a pad whose chart never goes low', () => {
    const high = { 1: 'high', 2: 'high', 3: 'high', 4: 'high', 6: 'high', 9: 'high' } as const
    const silent: Profile = {
      ...three,
      chart: { cycles: [{ high, low: high }], after: { kind: 'start-again' } },
    }
    expect(shows(silent, 'one-cycle')).toEqual(['dead', 'extras-dead', 'nothing'])
  })
})

describe('symptomsOf against the bench', () => {
  it('what the bench finds clean shows no fault', () => {
    fc.assert(
      fc.property(
        arbPresent,
        fc.oneof(
          arbPattern.map(({ title }) => title),
          arbTitle,
        ),
        (profile, title) => {
          const { verdict } = judge(profile, title, JUDGING)
          const faults = [...symptomsOf(profile, title, { ...JUDGING, marginNs: 0 })].filter(isFault)
          if (verdict !== 'misread') expect(faults).toEqual([])
        },
      ),
      { numRuns: draws(300) },
    )
  })
})

describe('the answer to symptoms', () => {
  it('a pattern whose symptoms are told is among the likeliest', () => {
    fc.assert(
      fc.property(arbPresent, arbPattern, (profile, pattern) => {
        const saw = [...symptomsOf(profile, pattern.title, JUDGING)]
        fc.pre(saw.length > 0)
        const matches = workToEnd(matchPatterns(profile, saw, JUDGING))
        const found = matches.find((match) => match.pattern === pattern)
        expect(found).toEqual({ pattern, shown: saw, also: [] })
        expect(matches[0]?.also).toEqual([])
      }),
      { numRuns: draws(100) },
    )
  })

  it('every cause shows as much of what was told as any pattern does, and all that it is said to show', () => {
    fc.assert(
      fc.property(arbPresent, fc.subarray(SYMPTOM_NAMES, { minLength: 1, maxLength: 3 }), (profile, saw) => {
        const count = (symptoms: ReadonlySet<Symptom>) => saw.filter((one) => symptoms.has(one)).length
        const all = READ_PATTERNS.map(({ id, title }) => ({
          id,
          symptoms: symptomsOf(profile, title, JUDGING),
        }))
        const most = Math.max(...all.map(({ symptoms }) => count(symptoms)))
        const expected = most === 0 ? [] : all.filter(({ symptoms }) => count(symptoms) === most)
        const { causes, unexplained } = explainSymptoms(profile, saw, OPTIONS)
        expect(causes.map(({ pattern }) => pattern).sort()).toEqual(expected.map(({ id }) => id).sort())
        for (const { pattern, also, reason, title } of causes) {
          const shown = symptomsOf(profile, patternOf(pattern).title, JUDGING)
          for (const symptom of also) expect(shown.has(symptom) && !saw.includes(symptom)).toBe(true)
          expect(reason).toContain(judge(profile, title, JUDGING).reason)
        }
        for (const symptom of unexplained)
          expect(expected.some(({ symptoms }) => symptoms.has(symptom))).toBe(false)
      }),
      { numRuns: 10 },
    )
  })

  it('walking with six buttons: Mode at power-on comes first, as it needs no other profile', () => {
    const { tryFirst, causes } = explainSymptoms(six, ['walks'], OPTIONS)
    expect(tryFirst?.remedy).toEqual({ kind: 'power-on', held: ['centre-left'] })
    expect(causes[0]?.pattern).toBe('burst-3')
    expect(tryFirst?.serves).toBeGreaterThan(causes.length / 2)
  })

  it('opposite directions: the profile can keep them back', () => {
    const { tryFirst } = explainSymptoms(three, ['opposites'], { ...JUDGING, profiles: [] })
    expect(tryFirst?.remedy).toEqual({
      kind: 'setting',
      set: { opposite: { vertical: 'neutral', horizontal: 'neutral' } },
    })
  })

  it('dead extra buttons with three: the six-button profile brings them where a title knows them', () => {
    const { tryFirst, causes } = explainSymptoms(three, ['extras-dead'], OPTIONS)
    expect(tryFirst?.remedy).toEqual({ kind: 'profile', name: 'six-button' })
    expect(causes.find(({ pattern }) => pattern === 'one-cycle')?.reason).toMatch(/^A three-button title/)
    expect(causes.find(({ pattern }) => pattern === 'six')?.reason).not.toMatch(/^A three-button title/)
  })

  it('a deliberate delay that a title cannot wait for is taken out', () => {
    const slow: Profile = { ...three, delayNs: 56 }
    const { tryFirst } = explainSymptoms(slow, ['later', 'jumps'], { ...JUDGING, profiles: [] })
    expect(tryFirst?.remedy).toEqual({ kind: 'setting', set: { delayNs: 0 } })
  })

  it('says so where no pattern shows what was seen', () => {
    expect(explainSymptoms(six, ['nothing'], OPTIONS)).toEqual({
      causes: [],
      unexplained: ['nothing'],
      trial: null,
      tryFirst: null,
    })
  })

  it('what it says to try first is not the present profile, and serves as many as it says', () => {
    fc.assert(
      fc.property(arbPresent, arbPattern, (profile, pattern) => {
        const saw = [...symptomsOf(profile, pattern.title, JUDGING)]
        fc.pre(saw.length > 0)
        const { tryFirst, causes } = explainSymptoms(profile, saw, OPTIONS)
        const counts = remedies(profile, BUILT_IN, JUDGING).map(({ remedy, profile: other }) => ({
          remedy,
          serves: causes.filter(
            ({ title }) =>
              judge(other, title, JUDGING).verdict !== 'misread' &&
              saw.every((symptom) => !symptomsOf(other, title, JUDGING).has(symptom)),
          ).length,
        }))
        const most = Math.max(0, ...counts.map(({ serves }) => serves))
        expect(tryFirst).toEqual(most === 0 ? null : counts.find(({ serves }) => serves === most))
      }),
      { numRuns: 5 },
    )
  })
})

describe('trials', () => {
  const steps = (step: TrialStep | null): TrialStep[] =>
    step === null ? [] : [step, ...step.outcomes.flatMap(({ next }) => steps(next))]

  const arbAsked = fc.tuple(arbPresent, arbPattern).map(([profile, pattern]) => {
    const saw = [...symptomsOf(profile, pattern.title, JUDGING)].slice(0, 1)
    return { profile, saw, all: trials(profile, saw, remedies(profile, BUILT_IN, JUDGING), JUDGING) }
  })

  it('each step parts its patterns by what they show, and none is lost or told twice', () => {
    fc.assert(
      fc.property(arbAsked, fc.subarray([...READ_PATTERNS], { minLength: 2 }), ({ all }, patterns) => {
        for (const { act, outcomes } of steps(nextTrial(patterns, all))) {
          const trial = all.find((one) => one.act === act) as Trial
          expect(outcomes.length).toBeGreaterThan(1)
          expect(new Set(outcomes.map(({ saw }) => saw)).size).toBe(outcomes.length)
          for (const { saw, patterns: left } of outcomes)
            for (const { title } of left) expect(trial.outcome(title)).toBe(saw)
        }
        const first = nextTrial(patterns, all)
        if (first === null) return
        expect(first.outcomes.flatMap(({ patterns: left }) => left.map(({ id }) => id)).sort()).toEqual(
          patterns.map(({ id }) => id).sort(),
        )
      }),
      { numRuns: 12 },
    )
  })

  it('no trial is worth more than the one that is named', () => {
    fc.assert(
      fc.property(arbAsked, fc.subarray([...READ_PATTERNS], { minLength: 2 }), ({ all }, patterns) => {
        const named = nextTrial(patterns, all, 1)
        // Information of a partition, from its definition: H(pattern) − H(pattern | outcome).
        const worth = ({ outcome, cost }: Trial) => {
          const seen = patterns.map(({ title }) => outcome(title))
          const left = seen.map((one) => Math.log2(seen.filter((other) => other === one).length))
          return (
            (Math.log2(patterns.length) - left.reduce((sum, bits) => sum + bits, 0) / patterns.length) / cost
          )
        }
        const best = Math.max(...all.map(worth))
        if (named === null) expect(best).toBeCloseTo(0, 9)
        else expect(worth(all.find(({ act }) => act === named.act) as Trial)).toBeCloseTo(best, 9)
      }),
      { numRuns: 12 },
    )
  })

  // Shannon's entropy, H = Σ p log2 1/p; the figure for 1 in 4 is the textbook's 0.811 (from memory).
  it('knows what a bit is', () => {
    expect(information([3, 3])).toBe(1)
    expect(information([1, 1, 1, 1])).toBe(2)
    expect(information([7])).toBe(0)
    expect(information([1, 3])).toBeCloseTo(0.811278, 6)
  })

  it('asks for holding nothing, one input, opposite directions that pass, power-on, settings and profiles', () => {
    const acts = trials(six, ['walks'], remedies(six, BUILT_IN, JUDGING), JUDGING).map(({ act }) => act)
    expect(acts).toContainEqual({ kind: 'hold', held: [] })
    expect(acts).toContainEqual({ kind: 'hold', held: ['mode'] })
    expect(acts).toContainEqual({ kind: 'hold', held: ['left', 'right'] })
    expect(acts).toContainEqual({ kind: 'power-on', held: ['centre-left'] })
    expect(acts).toContainEqual({ kind: 'profile', name: 'three-button' })
    expect(acts).not.toContainEqual({ kind: 'profile', name: 'six-button' })
    const neutral = { ...three, opposite: { vertical: 'neutral', horizontal: 'neutral' } } as const
    const fewer = trials(neutral, ['walks'], remedies(neutral, [], JUDGING), JUDGING).map(({ act }) => act)
    expect(fewer).not.toContainEqual({ kind: 'hold', held: ['left', 'right'] })
    expect(fewer).not.toContainEqual({ kind: 'hold', held: ['x'] })
  })
})
