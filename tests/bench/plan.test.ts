import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { answerPlan } from '../../src/bench/plan.ts'
import type { PlanOptions, ShelfPlan } from '../../src/bench/plan.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import type { Phase } from '../../src/port/chart.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { titleOfFields } from './short-titles.ts'

const JUDGING = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const OPTIONS = { ...JUDGING, banks: 4 }
const six = BUILT_IN_PROFILES['six-button']
const three = BUILT_IN_PROFILES['three-button']

const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const always = (cycle: number, level: string, pins: object) => ({ cycle, level, pins, when: 'always' })

const title = (name: string, fields: object): Title =>
  titleOfFields({
    name,
    notes: '',
    fragile: false,
    standard: '525-line',
    readOffsetsNs: [250_000],
    cyclesPerRead: 1,
    edgeSpacingNs: { minNs: 4_000, maxNs: 4_000 },
    sampleAfterEdgeNs: { minNs: 2_500, maxNs: 2_500 },
    rest: 'high',
    drive: { kind: 'driven' },
    samples: [always(1, 'high', HIGH), always(1, 'low', LOW)],
    sixButtons: { kind: 'never' },
    readJitterNs: 0,
    clockPpm: 0,
    takesOpposite: true,
    ...fields,
  })

const plain = title('Lamp Oil', {})
/** Believes every cycle of a burst: only a pad that answers the first cycle for ever suits it. */
const burst = title('Wick and Chimney', {
  cyclesPerRead: 4,
  samples: [1, 2, 3, 4].flatMap((cycle) => [always(cycle, 'high', HIGH), always(cycle, 'low', LOW)]),
})
/** Takes six buttons for granted: only a six-button pad suits it. */
const granted = title('Brass Reflector', {
  cyclesPerRead: 4,
  samples: [
    always(1, 'high', HIGH),
    always(1, 'low', LOW),
    { cycle: 4, level: 'high', pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }, when: 'six-buttons' },
  ],
  sixButtons: { kind: 'assumed' },
})
/** Takes B for C and C for B, which only a chart of its own suits. */
const crossed = title('Left-hand Lantern', {
  samples: [always(1, 'high', { ...HIGH, 6: 'c', 9: 'b' }), always(1, 'low', LOW)],
})
/** Samples before anything can answer. */
const hopeless = title('Too Soon', { sampleAfterEdgeNs: { minNs: 0, maxNs: 1 } })

const cross = (phase: Phase): Phase => ({ ...phase, 6: 'c', 9: 'b' })
const [firstCycle] = three.chart.cycles
const crossedThree: Profile = {
  ...three,
  name: 'Crossed',
  chart: {
    cycles: three.chart.cycles.map((cycle) => ({ ...cycle, high: cross(cycle.high) })),
    after: {
      kind: 'stay',
      reply: { ...(firstCycle as { low: Phase }), high: cross((firstCycle as { high: Phase }).high) },
    },
  },
}

const names = (shelf: readonly Title[], served: readonly { title: number }[]): string[] =>
  served.map(({ title: at }) => shelf[at]?.name ?? '')

const planShelf = (profiles: readonly Profile[], titles: readonly Title[], options: PlanOptions): ShelfPlan =>
  workToEnd(answerPlan({ profiles, titles, options }))

describe('a plan for a shelf', () => {
  it('one bank serves two ways: six buttons, and their first cycle with Mode held at power-on', () => {
    const shelf = [plain, burst, granted]
    const { banks, unserved } = planShelf([three, six], shelf, OPTIONS)
    expect(unserved).toEqual([])
    expect(banks).toHaveLength(1)
    expect(banks[0]).toMatchObject({
      bank: 1,
      candidate: 1,
      profile: six,
      firstCycle: { held: ['centre-left'] },
    })
    expect(banks[0]?.titles.map(({ firstCycle: hold }) => hold)).toEqual([false, true, false])
  })

  it('a title that no profile of the plan suits gets another bank, and bank 1 is the one that serves the most', () => {
    const shelf = [crossed, plain, burst, granted]
    const { banks } = planShelf([crossedThree, three, six], shelf, OPTIONS)
    expect(banks.map(({ candidate }) => candidate)).toEqual([2, 0])
    expect(banks.map(({ titles }) => names(shelf, titles))).toEqual([
      ['Lamp Oil', 'Wick and Chimney', 'Brass Reflector'],
      ['Left-hand Lantern'],
    ])
  })

  it('says what would serve a title for which no bank is left, and why no profile serves one', () => {
    const shelf = [crossed, plain, granted, hopeless]
    const { banks, unserved } = planShelf([crossedThree, three, six], shelf, { ...OPTIONS, banks: 1 })
    expect(banks.map(({ candidate }) => candidate)).toEqual([2])
    expect(unserved.map((one) => [shelf[one.title]?.name, one.servedBy])).toEqual([
      ['Left-hand Lantern', [0]],
      ['Too Soon', []],
    ])
    const closest = unserved[1]?.closest
    const profile = [crossedThree, three, six][closest?.candidate ?? -1] as Profile
    expect(closest?.reason).toBe(judge(profile, hopeless, JUDGING).reason)
  })

  it('every title that it lists is served as the bench judges it, by the profile or by its first cycle', () => {
    const shelf = [crossed, plain, burst, granted, hopeless]
    const { banks, unserved } = planShelf([three, crossedThree, six], shelf, OPTIONS)
    expect(banks.flatMap(({ titles }) => titles).length + unserved.length).toBe(shelf.length)
    for (const { profile, titles } of banks)
      for (const { title: at, verdict, marginNs, firstCycle: hold } of titles) {
        const cycles = profile.chart.cycles.slice(0, 1)
        const reply = cycles[0] as Profile['chart']['cycles'][number]
        const answering = hold
          ? { ...profile, chart: { cycles, after: { kind: 'stay' as const, reply } } }
          : profile
        expect(verdict).not.toBe('misread')
        expect(judge(answering, shelf[at] as Title, JUDGING)).toMatchObject({ verdict, marginNs })
      }
  })

  it('does not take six buttons away for the sake of a better verdict', () => {
    const sixth = {
      cycle: 4,
      level: 'high',
      pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' },
      when: 'six-buttons',
    }
    // From the last rise of one read to the first of the next: 100 ns more than the latest idle reset of this adapter.
    const latestNs =
      Math.ceil(six.idleResetNs * (1 + REFERENCE_ADAPTER.clockPpm / 1e6)) +
      REFERENCE_ADAPTER.idleResetNs.maxNs
    const shelf = [
      title('Twice in a Hurry', {
        cyclesPerRead: 4,
        readOffsetsNs: [250_000, 250_000 + latestNs + 24_000 + 100],
        samples: [always(1, 'high', HIGH), always(1, 'low', LOW), sixth],
        sixButtons: { kind: 'identified', cycle: 3, level: 'low', lowPins: [1, 2, 3, 4] },
      }),
    ]
    const hurried: Profile = { ...six, opposite: { vertical: 'neutral', horizontal: 'neutral' } }
    const kept = { ...hurried, chart: three.chart }
    expect(judge(kept, shelf[0] as Title, JUDGING).verdict).toBe('clean')
    const { banks } = planShelf([hurried], shelf, OPTIONS)
    expect(banks[0]?.titles).toMatchObject([{ verdict: 'tight', firstCycle: false }])
  })

  it('of profiles that all misread, the closest is the one that is the least time short', () => {
    const shelf = [title('Almost', { sampleAfterEdgeNs: { minNs: 60, maxNs: 60 } })]
    const slow = { ...three, delayNs: 56 }
    expect(planShelf([slow, three], shelf, OPTIONS).unserved[0]?.closest?.candidate).toBe(1)
    expect(planShelf([three, slow], shelf, OPTIONS).unserved[0]?.closest?.candidate).toBe(0)
  })

  it('has nothing to say of an empty shelf', () => {
    expect(planShelf([three, six], [], OPTIONS)).toEqual({ banks: [], unserved: [] })
    expect(planShelf([], [plain], OPTIONS).unserved).toEqual([{ title: 0, servedBy: [], closest: null }])
  })
})
