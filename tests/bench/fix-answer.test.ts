import { describe, expect, it } from 'vitest'
import { findingFixes } from '../../src/bench/fix.ts'
import { answerFix } from '../../src/bench/fix/answer.ts'
import type { FixAnswer, FixProgress, FixQuestion } from '../../src/bench/fix/answer.ts'
import { judge } from '../../src/bench/judge.ts'
import { VERDICTS } from '../../src/bench/judgement.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { demo, hopeless, options } from '../ui/fix/examples.ts'

const six = BUILT_IN_PROFILES['six-button']

function told(question: FixQuestion): { progress: FixProgress[]; answer: FixAnswer } {
  const progress: FixProgress[] = []
  const work = answerFix(question)
  for (;;) {
    const step = work.next()
    if (step.done) return { progress, answer: step.value }
    progress.push(step.value)
  }
}

const ask = (titles: readonly Title[], others: readonly Title[] = []): FixQuestion => ({
  profile: six,
  titles,
  others,
  options,
})

describe('the answer to a question about fixes', () => {
  it('is what the search finds, which is told as soon as it is known', () => {
    const titles = [demo('copper-kite-rally'), demo('nine-moths')]
    const { progress, answer } = told(ask(titles, [demo('harbour-lanterns')]))
    const outcome = workToEnd(findingFixes(six, titles, options))
    expect(answer.outcome).toEqual(outcome)
    const kinds = progress.map(({ kind }) => kind)
    expect(kinds.lastIndexOf('tried')).toBeLessThan(kinds.indexOf('found'))
    for (const one of progress) if (one.kind === 'found') expect(one.outcome).toEqual(outcome)
  })

  it('tells how far the search is', () => {
    const tried = told(ask([hopeless])).progress.flatMap((one) => (one.kind === 'tried' ? [one.tried] : []))
    expect(tried.length).toBeGreaterThan(3)
    expect(tried).toEqual([...tried].sort((p, q) => p - q))
  })

  it('says which other titles each fix would spoil', () => {
    const others = [demo('nine-moths'), demo('the-bellfounder'), demo('harbour-lanterns')]
    const { outcome, worse } = told(ask([demo('copper-kite-rally')], others)).answer
    // To stop early takes the buttons from the one title that knows six; to hold something at power-on changes nothing without the hold.
    expect(worse).toEqual([['Nine Moths'], []])
    const rank = (profile: Profile, title: Title) => VERDICTS.indexOf(judge(profile, title, options).verdict)
    outcome.fixes.forEach(({ profile }, k) => {
      for (const title of others)
        expect(worse[k]?.includes(title.name)).toBe(rank(profile, title) > rank(six, title))
    })
  })

  it('stands as the titles do', () => {
    const standing = (titles: readonly Title[]) => told(ask(titles)).answer.outcome.standing
    expect(standing([demo('nine-moths')])).toBe('clean')
    expect(standing([demo('copper-kite-rally')])).toBe('mended')
    expect(standing([demo('copper-kite-rally'), demo('tidewatch')])).toBe('best')
    expect(standing([hopeless])).toBe('none')
  })
})
