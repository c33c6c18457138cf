import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored, leftOverFrames } from '../../src/bench/explored.ts'
import { judge } from '../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { WorkBudget } from '../../src/bench/work-budget.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { setCell } from '../../src/profile/chart-commands.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { PLAIN } from './plain-titles.ts'

const OPTIONS = { adapter: REFERENCE_ADAPTER, marginNs: 200 }
const six = BUILT_IN_PROFILES['six-button']

/** Every cell of the chart with another input in it. */
const edits: Profile[] = six.chart.cycles.flatMap((_, cycle) =>
  (['low', 'high'] as const).map((level) => ({
    ...six,
    chart: setCell(six.chart, { cycle, level, pin: 1 }, INPUTS[cycle] ?? 'low'),
  })),
)

describe('what is remembered of a title', () => {
  test('is all that is followed with the same times, whatever its cells say', () => {
    for (const title of Object.values(PLAIN)) {
      const box = boxOf(six, title, REFERENCE_ADAPTER)
      const wider = { ...box, idleReset: { ...box.idleReset, minNs: box.idleReset.minNs - 1 } }
      const [first, ...others] = [six, ...edits].map(({ chart }) =>
        [box, wider].map((one) => ({
          exploration: explored(title, chart, one),
          frame: leftOverFrames(title, chart, one).walk(new WorkBudget()).next(),
        })),
      )
      for (const other of others)
        other.forEach(({ exploration, frame }, k) => {
          expect(exploration).toBe(first?.[k]?.exploration)
          expect(frame).toBe(first?.[k]?.frame)
        })
      expect(first?.[0]?.exploration).not.toBe(first?.[1]?.exploration)
    }
  })

  test('is for the latest times only, so that a long shelf takes no more and more room', () => {
    const title = PLAIN.once
    const box = boxOf(six, title, REFERENCE_ADAPTER)
    const known = explored(title, six.chart, box)
    for (let ns = 1; ns <= 8; ns++)
      explored(title, six.chart, { ...box, reply: { ...box.reply, maxNs: box.reply.maxNs + ns } })
    const again = explored(title, six.chart, box)
    expect(again).not.toBe(known)
    expect(again.work).toBe(known.work)
  })

  test('changes no judgement, nor what it takes', () => {
    const judged = (profile: Profile, title: (typeof PLAIN)[keyof typeof PLAIN], work: number) => {
      const budget = new WorkBudget(work)
      return { judgement: judge(profile, title, OPTIONS, budget), isSpent: budget.isSpent, budget }
    }
    const ENOUGH = 1e9
    let ended = 0
    for (const title of Object.values(PLAIN))
      for (const profile of edits) {
        const anew = judged(profile, structuredClone(title), ENOUGH)
        const again = judged(profile, title, ENOUGH)
        expect(again.judgement).toEqual(anew.judgement)
        expect(again.budget.left).toBe(anew.budget.left)
        for (const percent of [3, 30, 60, 90, 99]) {
          const work = ((ENOUGH - anew.budget.left) * percent) / 100
          const [short, shortAgain] = [structuredClone(title), title].map((one) => judged(profile, one, work))
          expect(shortAgain?.judgement).toEqual(short?.judgement)
          expect(shortAgain?.isSpent).toBe(short?.isSpent)
          if (short?.isSpent) ended++
        }
      }
    expect(ended).toBeGreaterThan(100)
  })
})
