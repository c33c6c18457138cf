import { describe, expect, it } from 'vitest'
import { findFixes } from '../../../src/bench/fix.ts'
import { judge } from '../../../src/bench/judge.ts'
import { VERDICTS } from '../../../src/bench/judgement.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import type { Title } from '../../../src/title/schema.ts'
import { answerQuestion } from '../../../src/ui/fix/answer-question.ts'
import type { FixNews, FixQuestion } from '../../../src/ui/fix/fix-messages.ts'
import { demo, hopeless, options } from './examples.ts'

const six = BUILT_IN_PROFILES['six-button']

/** All that is told, by a clock on which every look takes so long. */
function told(question: FixQuestion, msPerLook: number): FixNews[] {
  const news: FixNews[] = []
  let nowMs = 0
  answerQuestion(
    question,
    (one) => news.push(one),
    () => (nowMs += msPerLook),
  )
  return news
}

const ask = (titles: readonly Title[], others: readonly Title[] = []): FixQuestion => ({
  profile: six,
  titles,
  others,
  options,
})

describe('the answer to a question', () => {
  it('is what the bench finds', () => {
    const titles = [demo('copper-kite-rally'), demo('nine-moths')]
    const news = told(ask(titles), 0)
    expect(news.map(({ kind }) => kind)).toEqual(['found', 'worse'])
    expect(news[0]).toEqual({ kind: 'found', outcome: findFixes(six, titles, options) })
  })

  it('tells how far the search is, not at every step', () => {
    const slow = told(ask([hopeless]), 60).flatMap((one) => (one.kind === 'tried' ? [one.tried] : []))
    expect(slow.length).toBeGreaterThan(3)
    expect(slow).toEqual([...slow].sort((p, q) => p - q))
    const quick = told(ask([hopeless]), 1).filter(({ kind }) => kind === 'tried')
    expect(quick.length).toBeLessThan(slow.length / 10)
    expect(quick.length).toBeGreaterThan(0)
  })

  it('says which other titles each fix would spoil', () => {
    const others = [demo('nine-moths'), demo('the-bellfounder'), demo('harbour-lanterns')]
    const news = told(ask([demo('copper-kite-rally')], others), 0)
    const found = news.find((one) => one.kind === 'found')
    const worse = news.find((one) => one.kind === 'worse')
    if (!found || !worse) throw new Error('both were expected')
    // To stop early takes the buttons from the one title that knows six; to hold something at power-on changes nothing without the hold.
    expect(worse.worse).toEqual([['Nine Moths'], []])
    const rank = (profile: Profile, title: Title) => VERDICTS.indexOf(judge(profile, title, options).verdict)
    found.outcome.fixes.forEach(({ profile }, k) => {
      for (const title of others)
        expect(worse.worse[k]?.includes(title.name)).toBe(rank(profile, title) > rank(six, title))
    })
  })
})
