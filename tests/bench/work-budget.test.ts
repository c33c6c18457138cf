import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { isRight } from '../../src/bench/judgement.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { WorkBudget } from '../../src/bench/work-budget.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { arbOpen } from './arbitrary-open.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbSteps, arbUsualSteps } from './arbitrary-steps.ts'
import { arbTitle } from './arbitrary-title.ts'
import { PLAIN } from './plain-titles.ts'

/** More than any of these titles takes. */
const ENOUGH = 1e12

const OPTIONS = { adapter: REFERENCE_ADAPTER, marginNs: 200 }

/** Titles of all shapes, most in front of a pad that many of them read right. */
const arbPair = fc.record({
  profile: fc.oneof(arbTypicalProfile, fc.constantFrom(...Object.values(BUILT_IN_PROFILES))),
  title: fc.oneof(arbSteps, arbOpen, arbTitle, arbUsualSteps, fc.constantFrom(...Object.values(PLAIN))),
  adapter: arbAdapter,
  marginNs: fc.constantFrom(0, 200, 1_000),
  /** Of what the title takes: margins are asked for last. */
  percent: fc.array(fc.oneof(fc.nat(110), fc.integer({ min: 55, max: 99 })), { minLength: 3, maxLength: 3 }),
})

/** How much a judgement says: less of it is never said with more work. */
const saidBy = ({ verdict, isWhole }: Judgement): number =>
  isWhole ? 3 : verdict === 'undecided' ? 0 : verdict === 'tight' ? 1 : 2

describe('a budget over the whole judgement', () => {
  test('ends it in what is proved, and never in more than that', () => {
    const ended = { clean: 0, tight: 0, undecided: 0, misread: 0 }
    fc.assert(
      fc.property(arbPair, ({ profile, title, adapter, marginNs, percent }) => {
        const options = { adapter, marginNs }
        const enough = new WorkBudget(ENOUGH)
        const all = judge(profile, title, options, enough)
        expect(all.isWhole).toBe(true)
        const budgets = percent.map((part) => ((ENOUGH - enough.left) * part) / 100).sort((p, q) => p - q)
        let said = 0
        for (const budget of budgets) {
          // What is remembered of a title makes no difference.
          const judged = judge(profile, title, options, new WorkBudget(budget))
          expect(judged).toEqual(judge(profile, structuredClone(title), options, new WorkBudget(budget)))
          expect(saidBy(judged), `${said} was said with less work than ${budget}`).toBeGreaterThanOrEqual(
            said,
          )
          said = saidBy(judged)
          if (judged.isWhole) {
            expect(judged).toEqual(all)
            continue
          }
          ended[judged.verdict]++
          expectHonest(judged, all, marginNs)
        }
      }),
      { numRuns: 200 },
    )
    expect(Math.min(...Object.values(ended)), JSON.stringify(ended)).toBeGreaterThan(3)
  })

  test('says of how many frames it is known that they are right, and then what else is proved', () => {
    const plain = BUILT_IN_PROFILES['three-button']
    const [cycle] = plain.chart.cycles
    if (cycle === undefined) expect.fail('a chart has a cycle')
    // One cycle a frame, every row alike, and no idle reset for twelve frames: each of the first seven frames begins with another count.
    const profile: Profile = {
      ...plain,
      idleResetNs: 200_000_000,
      chart: { ...plain.chart, cycles: Array.from({ length: 6 }, () => cycle) },
    }
    const said = new Set<string>()
    for (let work = 0; work < 150_000; work += 300) {
      const { verdict, reason } = judge(profile, PLAIN.once, OPTIONS, new WorkBudget(work))
      said.add(`${verdict}: ${reason}`)
    }
    const open = 'undecided: Not decided: its reads can go in more ways than are followed.'
    expect([...said].map((one) => one.replace(/if select .*its reads/u, 'LEFT OVER, its reads'))).toEqual([
      open,
      `${open} From power-on, the first frame is right.`,
      ...['two', 'three', 'four', 'five', 'six'].map(
        (count) => `${open} From power-on, the first ${count} frames are right.`,
      ),
      'undecided: Not decided: LEFT OVER, its reads can go in more ways than are followed. From power-on, all of them are right.',
      'tight: At least 1 ns margin: its reads can go in more ways than are followed.',
      'clean: 2.23 µs margin.',
    ])
  })
})

/** @param all what is said of the title with all the work that it takes */
function expectHonest(judged: Judgement, all: Judgement, marginNs: number): void {
  const { verdict, hangsOn, reason, counterexample } = judged
  switch (verdict) {
    case 'undecided':
      expect(hangsOn?.kind).toBe('budget')
      expect(reason).toMatch(/^Not decided: /u)
      expect(judged.marginNs).toBe(null)
      return
    case 'misread':
      expect(all.verdict).toBe('misread')
      expect(counterexample).not.toBe(null)
      return
    default:
      expect(isRight(all)).toBe(true)
      expect(judged.marginNs ?? Infinity).toBeLessThanOrEqual(all.marginNs ?? Infinity)
      expect(verdict).toBe((judged.marginNs ?? Infinity) < marginNs ? 'tight' : 'clean')
      expect(reason).toMatch(/^At least .* margin: its reads can go in more ways than are followed/u)
  }
}
