import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import type { Box } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { moveThatHurts } from '../../src/bench/moves.ts'
import { saysAll, standInsFor } from '../../src/bench/resets-in-rests.ts'
import { weighTitle } from '../../src/bench/weigh-title.ts'
import type { WeighedTitle } from '../../src/bench/weigh-title.ts'
import { WorkBudget } from '../../src/bench/work-budget.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { RangeNs } from '../../src/port/range.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import type { Schedule, ScheduleNode } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { draws, often } from '../draws.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbUsualSteps } from './arbitrary-steps.ts'
import { oneRead } from './hand-schedule.ts'
import { PLAIN } from './plain-titles.ts'

const between = (minNs: number, maxNs: number): RangeNs => ({ minNs, maxNs })

const boxWith = (idleReset: RangeNs): Box => ({ reply: between(0, 40), idleReset, rise: between(30, 30) })

/** 100 ns of a frame of 1000; its last sample comes 20 ns later, and a line that is let go can take 30. */
const read = oneRead(
  [
    [0, 'high'],
    [100, 'low'],
  ],
  30,
  20,
  1,
)

/** The same, held up between its nodes. */
const heldUp = (stretches: number): Schedule => ({
  ...read,
  nodes: read.nodes.map((node): ScheduleNode => {
    const next = node.next.map((way) => (way.kind === 'gap' ? { ...way, stretched: between(50, 300) } : way))
    return { ...node, stretches, next }
  }),
})

const spareNs = (schedule: Schedule, minNs: number, maxNs: number): number | null =>
  standInsFor(schedule, boxWith(between(minNs, maxNs)))[0]?.spareNs ?? null

describe('a reset that comes in rests', () => {
  test('is away from the burst before it, and a reply time from the one after it', () => {
    expect(spareNs(read, 150, 200)).toBe(null)
    expect(spareNs(read, 151, 200)).toBe(1)
    expect(spareNs(read, 320, 820)).toBe(10)
    expect(spareNs(read, 320, 829)).toBe(1)
    expect(spareNs(read, 320, 830)).toBe(null)
    // Longer than the frame: no read rests for it.
    expect(spareNs(read, 1_500, 1_600)).toBe(null)
  })

  test('is away from a read however it is held up', () => {
    expect(spareNs(heldUp(1), 351, 400)).toBe(1)
    expect(spareNs(heldUp(1), 360, 628)).toBe(2)
    expect(spareNs(heldUp(2), 551, 552)).toBe(null)
    expect(spareNs({ ...read, opensLate: between(0, 60) }, 211, 300)).toBe(1)
  })

  test('is stood for by one in the middle, with as much in doubt', () => {
    const one = { box: boxWith(between(480, 500)), spareNs: 150, isWider: false }
    expect(standInsFor(read, boxWith(between(300, 320)))).toEqual([one])
    expect(standInsFor(read, boxWith(between(700, 720)))).toEqual([{ ...one, spareNs: 110 }])
  })

  test('is stood for by one with more in doubt, too, where select is driven', () => {
    const driven = (minNs: number, maxNs: number): Box => ({ ...boxWith(between(minNs, maxNs)), rise: null })
    const schedule = { ...read, rise: null }
    const wider = { box: driven(474, 506), spareNs: 180, isWider: true }
    expect(standInsFor(schedule, driven(300, 320))).toEqual([
      wider,
      { box: driven(480, 500), spareNs: 180, isWider: false },
    ])
    expect(standInsFor(schedule, driven(310, 329))[0]).toEqual({ ...wider, spareNs: 190 })
    // Twice as much is not more.
    expect(standInsFor(schedule, driven(300, 332))).toEqual([{ ...wider, isWider: false }])
    expect(standInsFor(schedule, driven(121, 641)).map(({ isWider }) => isWider)).toEqual([false])
  })

  test('changes nothing that is nearer than it', () => {
    const seen = { right: 0, wrong: 0, leftOver: 0, wider: 0, notAll: 0, risen: 0 }
    const arbCase = fc.record({
      profile: fc.oneof(arbTypicalProfile, fc.constantFrom(...Object.values(BUILT_IN_PROFILES))),
      title: fc.oneof(arbUsualSteps, fc.constantFrom(...Object.values(PLAIN))),
      adapter: arbAdapter,
      marginNs: fc.constantFrom(0, 200, 5_000),
    })
    fc.assert(
      fc.property(arbCase, ({ profile, title, adapter, marginNs }) => {
        const box = boxOf(profile, title, adapter)
        const weighed = (within: Box): WeighedTitle => weighedIn(profile, title, within)
        for (const standIn of standInsFor(scheduleOf(title), box)) {
          const [asIs, stoodFor] = [weighed(box), weighed(standIn.box)]
          if (!saysAll(standIn, stoodFor)) {
            seen.notAll++
            continue
          }
          expect(toldOf(stoodFor)).toEqual(toldOf(asIs))
          const { wrongs, marginNs: knownNs } = asIs.weighed
          if (asIs.leftOver !== null) seen.leftOver++
          if (standIn.isWider) seen.wider++
          if (wrongs.size > 0 || asIs.stays !== null) {
            seen.wrong++
            continue
          }
          seen.right++
          if (box.rise !== null) seen.risen++
          const hurts = (of: Box, areResetsAway: boolean) =>
            moveThatHurts(of, areResetsAway, knownNs, marginNs, (wider) => {
              const there = weighed(wider)
              return there.stays ?? there.weighed
            })
          expect(hurts(standIn.box, true)).toEqual(hurts(box, false))
        }
      }),
      { numRuns: draws(500) },
    )
    const rarest = Math.min(seen.right, seen.wrong, seen.leftOver, seen.wider)
    expect(rarest, JSON.stringify(seen)).toBeGreaterThan(often(40))
    expect(Math.min(seen.risen, seen.notAll), JSON.stringify(seen)).toBeGreaterThan(often(10))
  })
})

const weighedIn = (profile: Profile, title: Title, box: Box): WeighedTitle => {
  const budget = new WorkBudget(1e12)
  return weighTitle(profile, title, box, explored(title, profile.chart, box, budget), budget)
}

/** All that is told of a title, but for how a timing of it can be given. */
function toldOf({ weighed, stays, leftOver, isWhole }: WeighedTitle) {
  const told = [weighed, ...(stays === null ? [] : [stays])].map(({ wrongs, ...one }) => ({
    ...one,
    wrongs: [...wrongs].map(([kind, { example }]) => [kind, example]),
  }))
  return { told, isWhole, kind: leftOver?.kind, reads: leftOver?.kind === 'settles' ? leftOver.reads : null }
}
