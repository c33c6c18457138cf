import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { titleThatDoes } from '../../src/bench/doubts.ts'
import { judge } from '../../src/bench/judge.ts'
import { weighStated } from '../../src/bench/judge-stated.ts'
import { isRight } from '../../src/bench/judgement.ts'
import type { Judgement, JudgeOptions } from '../../src/bench/judgement.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { WorkBudget } from '../../src/bench/work-budget.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Takes, Title } from '../../src/title/schema.ts'
import { everyPossibility } from '../reference/every-possibility.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { TAKES, arbOpen } from './arbitrary-open.ts'

/** Half of them answer as a pad does, or more titles would be misread than is of use. */
const arbProfile = fc.oneof(
  arbTypicalProfile,
  fc.constantFrom(BUILT_IN_PROFILES['three-button'], BUILT_IN_PROFILES['six-button']),
)

const judgeStated = (profile: Profile, title: Title, options: JudgeOptions): Judgement =>
  weighStated(profile, title, options, new WorkBudget()).judgement()

describe('a title that may be several', () => {
  test('is right where each of them is, a misread where each of them is, and otherwise undecided', () => {
    const counts = { clean: 0, tight: 0, undecided: 0, misread: 0, several: 0 }
    fc.assert(
      fc.property(arbProfile, arbOpen, arbAdapter, (profile, title, adapter) => {
        const options = { adapter, marginNs: 200 }
        const each = everyPossibility(title).map((one) => judgeStated(profile, one, options))
        if (each.some(({ hangsOn }) => hangsOn !== null)) return
        const judged = judge(profile, title, options)
        const right = each.filter(isRight).length
        const expected = right === each.length ? 'right' : right === 0 ? 'misread' : 'undecided'
        expect(isRight(judged) ? 'right' : judged.verdict, judged.reason).toBe(expected)
        if (isRight(judged)) {
          const least = Math.min(...each.map(({ marginNs }) => marginNs ?? Infinity))
          expect(judged.marginNs ?? Infinity).toBe(least)
          expect(judged.verdict).toBe(least < 200 ? 'tight' : 'clean')
        }
        counts[judged.verdict]++
        if (each.length > 1) counts.several++
      }),
      { numRuns: 80 },
    )
    // Few that are drawn read right in all that they may be; the burst below does for sure.
    expect(Math.min(counts.undecided, counts.misread), JSON.stringify(counts)).toBeGreaterThan(4)
    expect(counts.several).toBeGreaterThan(40)
  })

  test('misreads in each of its doubts', () => {
    let doubts = 0
    fc.assert(
      fc.property(arbProfile, arbOpen, arbAdapter, (profile, title, adapter) => {
        const options = { adapter, marginNs: 200 }
        const { verdict, hangsOn } = judge(profile, title, options)
        expect(hangsOn !== null).toBe(verdict === 'undecided')
        if (hangsOn?.kind !== 'title') return
        expect(hangsOn.misreadIf.length).toBeGreaterThan(0)
        for (const { assumes } of hangsOn.misreadIf) {
          doubts++
          expect(judgeStated(profile, titleThatDoes(title, assumes), options).verdict).toBe('misread')
        }
      }),
      { numRuns: 80 },
    )
    expect(doubts).toBeGreaterThan(8)
  })
})

/** Five cycles in one burst, low first: what it makes of the later ones is not known. */
const burst = (possible: readonly Takes[]): Title => {
  const sample = (takes: Takes, k: number) => ({
    sample: k === 0 ? takes : {},
    after: { minNs: 1_500, maxNs: 1_600 },
    ...(k > 0 && { possible: possible.length > 0 ? possible : [takes] }),
  })
  const steps = Array.from({ length: 5 }, (_, k) => [
    { select: 'low', after: { minNs: 1_000, maxNs: 1_000 } },
    sample(TAKES[1] as Takes, k),
    { select: 'high', after: { minNs: 1_000, maxNs: 1_000 } },
    sample(TAKES[2] as Takes, k),
  ]).flat()
  const file = {
    format: 'ninepin-title',
    version: 3,
    name: 'Burst',
    notes: '',
    fragile: false,
    port: 'select-line',
    standard: '525-line',
    clockPpm: 100,
    idle: 'high',
    rise: null,
    modes: [
      { reads: [{ starts: { kind: 'frame', offsetsNs: [250_000], late: { minNs: 0, maxNs: 0 } }, steps }] },
    ],
    sixButtons: { kind: 'never' },
    takesOpposite: true,
  }
  const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
  if (!read.ok) throw new Error(`${read.error.place} ${read.error.message}`)
  return read.value
}

describe('a burst of five cycles whose later samples may be used or not', () => {
  const options = { adapter: REFERENCE_ADAPTER, marginNs: 200 }

  test('is undecided on a six-button pad, says what it hangs on, and what decides', () => {
    const { verdict, reason, hangsOn } = judge(BUILT_IN_PROFILES['six-button'], burst([]), options)
    expect(verdict).toBe('undecided')
    expect(reason).toContain('Clean if it only uses its first')
    expect(hangsOn?.trial?.sentence).toMatch(/: if Up or Down acts by itself, it misreads\.$/)
  })

  test('is clean on a three-button pad, which answers alike in every cycle', () => {
    expect(judge(BUILT_IN_PROFILES['three-button'], burst([]), options).verdict).toBe('clean')
  })

  test('has one doubt for all that is left over for the same reason, and counts it', () => {
    const stretch = (startNs: number) => ({
      startLevel: 'high' as const,
      edgesNs: [0, 2_600, 5_200, 7_800, startNs],
      sinceRiseNs: 9_000_000,
      seen: 2,
    })
    const title = { ...burst([]), leftOver: { stretches: [stretch(10_400), stretch(10_500)], more: 0 } }
    const { hangsOn } = judge(BUILT_IN_PROFILES['six-button'], title, options)
    const left = hangsOn?.misreadIf.filter(({ assumes }) => assumes.kind === 'left-over') ?? []
    expect(left.map(({ condition }) => condition)).toEqual([
      'it uses what it samples in 4 stretches of edges that fit no read',
    ])
  })
})
