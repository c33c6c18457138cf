import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { meantAt, playedRead } from '../../src/bench/drawn-read.ts'
import { explain } from '../../src/bench/explain.ts'
import { judge } from '../../src/bench/judge.ts'
import { Player } from '../../src/bench/play/player.ts'
import { middleTiming } from '../../src/bench/play/timing.ts'
import { reading } from '../../src/bench/reading.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { exactly, oneRead } from './hand-schedule.ts'
import { PLAIN } from './plain-titles.ts'
import { limits, play } from './play.ts'
import { shortCycle, shortTitle, withShort } from './short-titles.ts'
import { drawsOf } from './witness-draws.ts'
import { draws, often } from '../draws.ts'

const profile = BUILT_IN_PROFILES['six-button']
const title = PLAIN.quick
const judgedWith = (marginNs: number) =>
  reading(profile, title, REFERENCE_ADAPTER, judge(profile, title, { adapter: REFERENCE_ADAPTER, marginNs }))

describe('the sample that makes a title tight', () => {
  test('is pointed at with what it has to spare: 210 ns after the edge, 178 ns for the reply and its cable', () => {
    expect(judgedWith(200).tight).toEqual({ sampleIndex: 1, spareNs: 32 })
    expect(judgedWith(200).samples[1]).toMatchObject({ cycle: 0, level: 'low' })
    expect(judgedWith(200).guilty).toBeUndefined()
  })

  test('is none where the margin is kept', () => {
    expect(judgedWith(32).tight).toBeUndefined()
  })
})

describe('the sample that misreads', () => {
  const six = BUILT_IN_PROFILES['six-button']

  test('is always pointed at, at the place where the independent player meets what is wrong', () => {
    let shown = 0
    let settled = 0
    const arbReader = fc
      .tuple(arbShort, fc.boolean())
      .map(([short, takesOpposite]): ShortTitle => ({ ...short, takesOpposite }))
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, (judged, short, adapter) => {
        const reader = titleOfShort(short)
        const judgement = judge(judged, reader, { adapter, marginNs: 200 })
        const { counterexample: example, verdict } = judgement
        const { guilty, samples, axis } = reading(judged, reader, adapter, judgement)
        expect(guilty !== undefined).toBe(verdict === 'misread')
        if (guilty === undefined || example === null) return
        const marked = samples[guilty.sampleIndex]
        if (marked === undefined) throw new Error('nothing is marked')
        shown++
        expect(samples.every(({ columnFraction }) => columnFraction >= 0 && columnFraction < 1)).toBe(true)
        expect(marked.timeNs - marked.afterEdgeNs).toBeGreaterThanOrEqual(axis.startNs)
        expect(marked.timeNs).toBeLessThan(axis.endNs)
        const explanation = explain(judged, reader, { adapter })
        if (example.cause === 'opposite' || explanation === null) return
        const { witness } = explanation
        const startNs = witness.reads[witness.reads.length - 1]?.startNs ?? 0
        expect(marked.timeNs).toBe(witness.sampleNs - startNs)
        // Once the reply to its own edge has come, a sample stands where it meets the pins.
        const opensNs = startNs + marked.timeNs - marked.afterEdgeNs
        const isLate = witness.counted.some(
          ({ writtenNs, shownNs }) =>
            writtenNs !== null && writtenNs <= opensNs && shownNs > witness.sampleNs,
        )
        if (isLate || witness.isOnEdge) return
        settled++
        const draws = drawsOf(witness, short, limits(judged, short, adapter))
        const { rises, resetNs } = witness.before
        const before = rises > 0 && resetNs !== null ? { rises, resetNs } : undefined
        const reads = play(short, draws, Math.ceil(witness.reads.length / short.readOffsetsNs.length), before)
        const { place } = example
        const phase = (shortCycle(short.rest, place) - 1) * 2 + (place.level === 'low' ? 1 : 0)
        const seen = (reads[witness.reads.length - 1] ?? []).find(({ index }) => {
          const at = index === 'identify' ? short.sixButtons : short.samples[index]
          return (
            at !== undefined && 'cycle' in at && (at.cycle - 1) * 2 + (at.level === 'low' ? 1 : 0) === phase
          )
        })
        expect({ rises: marked.cycle, level: marked.level }).toEqual({
          rises: seen?.rises,
          level: seen?.level,
        })
      }),
      { numRuns: draws(500) },
    )
    expect(shown).toBeGreaterThan(often(100))
    expect(settled).toBeGreaterThan(often(50))
  })

  test('is drawn in a timing that misreads, also where the middle of all ranges does not', () => {
    // It samples 210 ns after the edge; only the latest reply is later than that.
    const adapter = { ...REFERENCE_ADAPTER, replyNs: { minNs: 0, maxNs: 230 } }
    const judgement = judge(six, title, { adapter, marginNs: 0 })
    expect(judgement.counterexample?.cause).toBe('settling')
    const { guilty, samples } = reading(six, title, adapter, judgement)
    expect(guilty).toMatchObject({ sampleIndex: 1 })
    expect(samples[1]).toMatchObject({ cycle: 0, level: 'low', afterEdgeNs: 210 })
  })

  test('with opposite directions is the first that reads them, and what it sees is both', () => {
    const strict: Title = { ...title, takesOpposite: false }
    const open = { ...six, opposite: { vertical: 'as-held', horizontal: 'neutral' } } as const
    const judgement = judge(open, strict, { adapter: REFERENCE_ADAPTER, marginNs: 0 })
    expect(reading(open, strict, REFERENCE_ADAPTER, judgement).guilty).toEqual({
      sampleIndex: 0,
      pins: [1, 2],
      sees: 'Up and Down',
    })
  })

  test('is not marked while a judgement of an earlier edit names a phase that is sampled no more', () => {
    const burst = withShort(title, {
      samples: shortTitle(title).samples.filter(({ level }) => level === 'high'),
    })
    const judgement = judge({ ...six, delayNs: 400 }, title, { adapter: REFERENCE_ADAPTER, marginNs: 0 })
    const place = { frame: 1, read: 9, cycle: 1, level: 'low' } as const
    const counterexample = judgement.counterexample && {
      ...judgement.counterexample,
      ...{ place: { ...judgement.counterexample.place, ...place } },
    }
    const { guilty, samples } = reading(six, burst, REFERENCE_ADAPTER, { ...judgement, counterexample })
    expect(guilty).toBeUndefined()
    expect(samples).toHaveLength(shortTitle(burst).samples.length)
  })
})

test('a sample before the rise of a line that the last edge of a read lets go stands where that rise leads', () => {
  const schedule = oneRead(
    [
      [0, null],
      [200, 'low'],
      [400, 'release'],
    ],
    300,
    50,
    2,
  )
  const player = new Player(schedule, middleTiming({ reply: exactly(10), idleReset: exactly(5_000) }))
  const read = playedRead(player, () => true)
  const [sample] = read.samples
  if (sample === undefined) throw new Error('no sample')
  expect(sample).toEqual({ sample: schedule.nodes[2]?.samples[0], atNs: 450, opensNs: 400, closesNs: 600 })
  expect(meantAt(read, sample)).toMatchObject({ rises: 1, level: 'high' })
})
