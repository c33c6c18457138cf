import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import { boxOf } from '../../src/bench/box.ts'
import type { Title } from '../../src/title/schema.ts'
import { playSteps } from './play-steps.ts'
import { title } from './steps-titles.ts'

const REPLY_NS = 100
const adapter: CabledAdapter = {
  replyNs: { minNs: REPLY_NS, maxNs: REPLY_NS },
  delayStretch: 0,
  idleResetNs: { minNs: 0, maxNs: 0 },
  clockPpm: 0,
  cable: 'short',
}
const three = BUILT_IN_PROFILES['three-button']
const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

/** Start and A, at so many ns after the fall, each believed only with the sample that it names; C keeps clear of everything. */
const agreeing = (
  samples: readonly { readonly atNs: number; readonly name: string; readonly with?: string }[],
) =>
  title('Agreeing', [
    {
      starts: { kind: 'frame', offsetsNs: [250_000], late: exactly(0) },
      steps: [
        { select: 'low', after: exactly(0) },
        ...samples.map(({ atNs, name, with: partner }) => ({
          sample: { 6: partner === undefined ? 'a' : { input: 'a', ifAgrees: partner } },
          name,
          since: 'edge',
          after: exactly(atNs),
        })),
        { select: 'high', since: 'edge', after: exactly(20_000) },
      ],
    },
  ])

const marginNs = (one: Title) => judge(three, one, { adapter, marginNs: 0 }).marginNs
const box = boxOf(three, agreeing([{ atNs: 500, name: 'x' }]), adapter)
const { maxNs } = box.reply

/** Whether somebody who plays the title sees B for A where every reply comes that much later. */
const misreads = (one: Title, laterNs: number): boolean =>
  playSteps(
    one,
    three.chart,
    { ...box, reply: exactly(maxNs + laterNs) },
    new Set(['b']),
    { draw: (range) => range.minNs, oneOf: () => 0 },
    4,
  ) !== null

describe('samples that count only together have to spare', () => {
  test('what one has that agrees with itself in the read before: a slower reply comes too late for both', () => {
    const alone = agreeing([{ atNs: 500, name: 'x' }])
    const twice = agreeing([{ atNs: 500, name: 'x', with: 'x' }])
    expect(marginNs(alone)).toBe(500 - maxNs)
    expect(marginNs(twice)).toBe(500 - maxNs)
    expect([misreads(twice, 500 - maxNs), misreads(twice, 500 - maxNs + 1)]).toEqual([false, true])
  })

  test('what the one has that has more', () => {
    const both = agreeing([
      { atNs: 300, name: 'x', with: 'y' },
      { atNs: 700, name: 'y', with: 'x' },
    ])
    expect(marginNs(both)).toBe(700 - maxNs)
    expect([misreads(both, 700 - maxNs), misreads(both, 700 - maxNs + 1)]).toEqual([false, true])
  })

  test('what the partner has where one goes wrong already', () => {
    const late = agreeing([
      { atNs: 50, name: 'x', with: 'y' },
      { atNs: 700, name: 'y', with: 'x' },
    ])
    expect(marginNs(late)).toBe(700 - maxNs)
  })
})
