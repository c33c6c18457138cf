import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { reading } from '../../src/bench/reading.ts'
import type { Reading } from '../../src/bench/reading.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { ReadPlace } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbSteps } from './arbitrary-steps.ts'
import { title } from './steps-titles.ts'
import { draws, often } from '../draws.ts'

const six = BUILT_IN_PROFILES['six-button']
const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }
const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

/** Low first, with the times from each edge to the sample after it. */
const lowFirst = (lowNs: number, highNs: number) => [
  { select: 'low', after: exactly(0) },
  { sample: LOW, after: exactly(lowNs) },
  { select: 'high', after: exactly(1_500) },
  { sample: HIGH, after: exactly(highNs) },
]
const inFrame = (offsetNs: number, everyFrames = 1, which = 0) => ({
  kind: 'frame',
  offsetsNs: [offsetNs],
  everyFrames,
  inFrame: which,
  late: exactly(0),
})
const RIGHT = lowFirst(1_500, 1_500)

/** The reply and its cable take 178 ns at most (`stated.ts`, `cable.ts`). */
const drawn = (shown: Title, place: ReadPlace | null = null, marginNs = 200): Reading => {
  const judgement = judge(six, shown, { adapter: REFERENCE_ADAPTER, marginNs })
  return reading(six, shown, REFERENCE_ADAPTER, judgement, place && { place, marginNs })
}
const after = ({ samples }: Reading): number[] => samples.map(({ afterEdgeNs }) => afterEdgeNs)

const menu = { name: 'Menu', reads: [{ starts: inFrame(250_000), steps: RIGHT }] }

describe('a mode whose reads take turns, with the same step numbers', () => {
  const inPlay = {
    name: 'In play',
    reads: [
      { starts: inFrame(250_000, 2, 0), steps: RIGHT },
      { starts: inFrame(250_000, 2, 1), steps: lowFirst(1_500, 90) },
    ],
  }
  const shown = title('takes turns', [], { modes: [menu, inPlay] })

  test('is drawn at the read that goes wrong, and its sample is marked', () => {
    expect(after(drawn(shown))).toEqual([1_500, 90])
    expect(drawn(shown).guilty).toMatchObject({ sampleIndex: 1 })
    expect(drawn(shown).choices).toEqual([
      { place: { mode: 0, read: 0 }, isJudged: false, isDrawn: false, isWrong: false },
      { place: { mode: 1, read: 0 }, isJudged: false, isDrawn: false, isWrong: false },
      { place: { mode: 1, read: 1 }, isJudged: true, isDrawn: true, isWrong: true },
    ])
  })

  test('is drawn at its other read, where nothing is marked', () => {
    const other = drawn(shown, { mode: 1, read: 0 })
    expect(after(other)).toEqual([1_500, 1_500])
    expect(other.guilty).toBeUndefined()
    expect(other.tight).toBeUndefined()
    expect(other.choices.map(({ isDrawn }) => isDrawn)).toEqual([false, true, false])
    expect(other.choices.map(({ isWrong }) => isWrong)).toEqual([false, false, true])
  })
})

describe('two modes of which both go wrong', () => {
  const shown = title('both wrong', [], {
    modes: [
      { name: 'Menu', reads: [{ starts: inFrame(250_000), steps: lowFirst(1_500, 100) }] },
      { name: 'In play', reads: [{ starts: inFrame(250_000), steps: lowFirst(80, 1_500) }] },
    ],
  })

  test('are marked each at its own sample', () => {
    const [first, second] = [drawn(shown, { mode: 0, read: 0 }), drawn(shown, { mode: 1, read: 0 })]
    expect(after(first)).toEqual([1_500, 100])
    expect(first.guilty).toMatchObject({ sampleIndex: 1 })
    expect(after(second)).toEqual([80, 1_500])
    expect(second.guilty).toMatchObject({ sampleIndex: 0 })
    expect(first.choices.map(({ isWrong }) => isWrong)).toEqual([true, true])
  })
})

describe('two modes of which both are tight', () => {
  const shown = title('both tight', [], {
    modes: [
      { name: 'Menu', reads: [{ starts: inFrame(250_000), steps: lowFirst(1_500, 300) }] },
      { name: 'In play', reads: [{ starts: inFrame(250_000), steps: lowFirst(250, 1_500) }] },
    ],
  })

  test('show each its own margin', () => {
    expect(drawn(shown).tight).toEqual({ sampleIndex: 0, spareNs: 250 - 178 })
    expect(drawn(shown, { mode: 0, read: 0 }).tight).toEqual({ sampleIndex: 1, spareNs: 300 - 178 })
    expect(drawn(shown, { mode: 0, read: 0 }, 100).tight).toBeUndefined()
  })
})

test('reads that do the same at other times are one, and a title of one read has no choice', () => {
  const twice = title('twice', [
    { starts: inFrame(250_000), steps: RIGHT },
    { starts: inFrame(9_000_000), steps: RIGHT },
  ])
  expect(drawn(twice).choices).toEqual([])
  const two = title('unlike', [
    { starts: inFrame(250_000), steps: RIGHT },
    { starts: inFrame(5_000_000), steps: lowFirst(1_400, 1_400) },
    { starts: inFrame(9_000_000), steps: RIGHT },
  ])
  expect(drawn(two).choices.map(({ place }) => place.read)).toEqual([0, 1])
  expect(drawn(two, { mode: 0, read: 2 }).choices.map(({ isDrawn }) => isDrawn)).toEqual([true, false])
})

test('a read that only moves select is not drawn, and one that is no more gives way to that of the verdict', () => {
  const half = title('an interrupt that samples, and one that does not', [
    { starts: inFrame(250_000), steps: [{ select: 'low', after: exactly(0) }] },
    {
      starts: inFrame(270_000),
      steps: [
        { select: 'high', after: exactly(0) },
        { sample: HIGH, after: exactly(1_500) },
      ],
    },
  ])
  expect(drawn(half).choices).toEqual([])
  expect(after(drawn(half, { mode: 3, read: 7 }))).toEqual([1_500])
})

test('both directions at once are marked in the read that samples them', () => {
  const strict = title(
    'copes with one',
    [
      {
        starts: inFrame(250_000),
        steps: [
          { select: 'low', after: exactly(0) },
          { sample: { 6: 'a', 9: 'start' }, after: exactly(1_500) },
          { select: 'high', after: exactly(1_500) },
        ],
      },
      { starts: inFrame(5_000_000), steps: RIGHT },
    ],
    { takesOpposite: false },
  )
  const open = { ...six, opposite: { vertical: 'as-held', horizontal: 'neutral' } } as const
  const judgement = judge(open, strict, { adapter: REFERENCE_ADAPTER, marginNs: 0 })
  expect(judgement.counterexample?.place).toMatchObject({ readOfMode: 2, read: 2 })
  const { guilty, samples } = reading(open, strict, REFERENCE_ADAPTER, judgement)
  expect(guilty).toMatchObject({ sampleIndex: 0, pins: [1, 2] })
  expect(samples).toHaveLength(2)
})

/** What READ.md says of the samples of a read: how long after the last write of select each is taken, at least and at most. */
function samplesAsWritten(
  { modes, rise }: Title,
  { mode, read }: ReadPlace,
): { minNs: number; maxNs: number }[] {
  const { steps, stretch } = modes[mode]?.reads[read] ?? { steps: [] }
  const slackNs = stretch ? stretch.byNs * stretch.times : 0
  const written = steps.flatMap((step) =>
    'repeat' in step ? Array.from({ length: step.repeat }, () => step.steps).flat() : [step],
  )
  let [minNs, maxNs] = [0, 0]
  return written.flatMap((step) => {
    minNs += step.after.minNs
    maxNs += step.after.maxNs
    const taken = { minNs, maxNs: maxNs + slackNs + (rise?.maxNs ?? 0) }
    // A look at select itself is one more, at the same instant.
    if ('sample' in step) return step.sample.select === undefined ? [taken] : [taken, taken]
    minNs = maxNs = 0
    return []
  })
}

test('whatever is chosen, the samples are those of that read of the file', () => {
  let several = 0
  fc.assert(
    fc.property(arbTypicalProfile, arbSteps, arbAdapter, (profile, shown, adapter) => {
      const hangs = shown.modes.some(({ reads }) =>
        reads.some(({ steps }) => steps.some((step) => 'select' in step && step.when !== 'always')),
      )
      fc.pre(!hangs && shown.idle === 'high')
      const judgement = judge(profile, shown, { adapter, marginNs: 200 })
      const judged = reading(profile, shown, adapter, judgement)
      expect(judged.choices.filter(({ isJudged }) => isJudged).length).toBe(judged.choices.length > 0 ? 1 : 0)
      for (const { place, isJudged } of judged.choices) {
        several++
        const one = reading(profile, shown, adapter, judgement, { place, marginNs: 200 })
        if (isJudged) expect(one).toEqual(judged)
        const written = samplesAsWritten(shown, place)
        expect(one.samples).toHaveLength(written.length)
        one.samples.forEach(({ afterEdgeNs }, k) => {
          expect(afterEdgeNs).toBeGreaterThanOrEqual(written[k]?.minNs ?? Infinity)
          expect(afterEdgeNs).toBeLessThanOrEqual(written[k]?.maxNs ?? -1)
        })
        const isWrong = one.choices.find(({ isDrawn }) => isDrawn)?.isWrong
        // Where reads can go in too many ways, what goes wrong has no timing to show.
        if (one.guilty !== undefined) expect(isWrong).toBe(true)
      }
      // A misread is somewhere.
      if (judged.choices.length > 0)
        expect(judged.choices.some(({ isWrong }) => isWrong)).toBe(judgement.verdict === 'misread')
    }),
    { numRuns: draws(100) },
  )
  expect(several).toBeGreaterThan(often(25))
})
