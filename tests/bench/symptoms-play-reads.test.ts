import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Timing } from '../../src/bench/play/timing.ts'
import { playReads, seen } from '../../src/bench/symptoms/play-reads.ts'
import { cellLevel, phaseAt } from '../../src/port/chart.ts'
import { PINS, maskOf } from '../../src/port/pins.ts'
import type { Input, Level } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { scheduleOf } from '../../src/title/schedule.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbInputMask, arbProfile } from '../arbitraries.ts'
import { arbShort } from './arbitrary-title.ts'
import { shortCycle } from './short-titles.ts'
import { watch } from './watch.ts'
import type { Times } from './watch.ts'

const FRAMES = 4

/** The same time for the same thing, whatever the title says. */
const fixed = (times: Times): Timing => ({
  gapNs: () => times.edgeSpacingNs,
  sampleNs: () => times.sampleAfterEdgeNs,
  replyNs: () => times.replyNs,
  idleResetNs: () => times.idleResetNs,
  riseNs: () => times.riseNs,
  lateNs: () => 0,
  toPlaceNs: ({ minNs, maxNs }) => (minNs + maxNs) / 2,
})

const arbTimes: fc.Arbitrary<Pick<Times, 'replyNs' | 'idleResetNs'>> = fc.record({
  replyNs: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 400 })),
  idleResetNs: fc.integer({ min: 10_000, max: 120_000 }),
})

const NOWHERE = { cycle: 0, level: 'low' } as const
const placeOf = ({ cycle, level }: { readonly cycle: number; readonly level: Level }): string =>
  `${cycle} ${level}`

describe('play', () => {
  // The reader of tests/bench/watch.ts shares no line with src/bench.
  it('samples the phases that the independent reader finds, at the ends of every range', () => {
    fc.assert(
      fc.property(
        arbProfile,
        arbShort,
        arbTimes,
        fc.boolean(),
        fc.boolean(),
        (profile, short, stated, latest, atOnce) => {
          const title = titleOfShort(short)
          const taken = scheduleOf(title).samples
          const end = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => (latest ? maxNs : minNs)
          const { drive, sixButtons } = short
          const times = {
            ...stated,
            edgeSpacingNs: end(short.edgeSpacingNs),
            sampleAfterEdgeNs: atOnce ? 0 : end(short.sampleAfterEdgeNs),
            riseNs: drive.kind === 'released' ? end(drive.riseNs) : 0,
          }
          const reads = playReads(profile, title, fixed(times))
          const found = watch(short, times, FRAMES)
          expect(reads).toHaveLength(found.length)
          reads.forEach(({ samples }, k) => {
            // One for each phase that is sampled, be it for six buttons, for inputs or for both.
            const phases = new Map<string, unknown>()
            for (const { index, rises, level } of found[k] ?? []) {
              const place = index === 'identify' ? sixButtons : short.samples[index]
              if (place === undefined || !('cycle' in place)) expect.fail('it samples where it is told to')
              phases.set(placeOf(place), { phase: phaseAt(profile.chart, rises, level), level })
            }
            expect(
              samples.map(({ sample, ...seen }) => {
                const { cycle, level } = taken[sample]?.place ?? NOWHERE
                return [placeOf({ cycle: shortCycle(short.rest, { cycle }), level }), seen]
              }),
            ).toEqual([...phases])
          })
        },
      ),
    )
  })

  it('a read that begins later by its jitter is late against the reset, and a fast clock draws reads together', () => {
    const profile = BUILT_IN_PROFILES['six-button']
    const [short] = fc.sample(arbShort, { seed: 1, numRuns: 1 })
    const pair = {
      ...(short as NonNullable<typeof short>),
      readOffsetsNs: [1_000_000, 1_100_000],
      cyclesPerRead: 1,
      rest: 'high' as const,
      drive: { kind: 'driven' as const },
      samples: [{ cycle: 1, level: 'high' as const, pins: { 1: 'up' as const }, when: 'always' as const }],
      sixButtons: { kind: 'never' as const },
    }
    const chart = {
      cycles: [profile.chart.cycles[0] as (typeof profile.chart.cycles)[number]],
      after: {
        kind: 'stay' as const,
        reply: profile.chart.cycles[3] as (typeof profile.chart.cycles)[number],
      },
    }
    // From one rise to the next 100 000 ns pass by the title's own clock.
    const times = { edgeSpacingNs: 4_000, sampleAfterEdgeNs: 1_000, replyNs: 0, riseNs: 0 }
    const second = (
      idleResetNs: number,
      lateNs: (read: number) => number,
      end: 'minNs' | 'maxNs' = 'minNs',
      clockPpm = 0,
    ) =>
      playReads({ ...profile, chart }, titleOfShort({ ...pair, clockPpm }), {
        ...fixed({ ...times, idleResetNs }),
        lateNs: (_, read) => lateNs(read),
        toPlaceNs: (lasts) => lasts[end],
      })[1]?.samples[0]?.phase[1]
    const onTime = () => 0
    // The second read's first phase is the rest: with the reset it shows Up, without it the second row, Z.
    expect(second(92_000, onTime)).toBe('up')
    expect(second(94_000, onTime)).toBe('z')
    expect(second(94_000, (read) => (read % 2 === 1 ? 2_000 : 0))).toBe('up')
    expect(second(92_000, (read) => (read % 2 === 0 ? 2_000 : 0))).toBe('z')
    expect(second(92_990, onTime)).toBe('up')
    expect(second(92_990, onTime, 'minNs', 500)).toBe('z')
    expect(second(93_010, onTime, 'maxNs', 500)).toBe('up')
  })
})

describe('seen', () => {
  it('says of each input what the samples of it say one by one', () => {
    fc.assert(
      fc.property(arbProfile, arbShort, arbInputMask, arbTimes, (profile, short, held, stated) => {
        const title = titleOfShort(short)
        const times = {
          ...stated,
          edgeSpacingNs: short.edgeSpacingNs.minNs,
          sampleAfterEdgeNs: short.sampleAfterEdgeNs.minNs,
          riseNs: 0,
        }
        const found = seen(title, playReads(profile, title, fixed(times)), held)
        const said = new Map<Input, Set<boolean>>()
        const sampled = new Set<Input>()
        const waits = (input: Input) =>
          !short.samples.some(({ when, pins }) => when === 'always' && Object.values(pins).includes(input))
        for (const read of watch(short, times, FRAMES)) {
          const low = (rises: number, level: 'low' | 'high', pin: (typeof PINS)[number]) =>
            cellLevel(phaseAt(profile.chart, rises, level)[pin], held) === 'low'
          const { sixButtons } = short
          const mark = read.find(({ index }) => index === 'identify')
          const six =
            sixButtons.kind === 'identified'
              ? mark !== undefined && sixButtons.lowPins.every((pin) => low(mark.rises, mark.level, pin))
              : sixButtons.kind === 'assumed'
          for (const { index, rises, level } of read) {
            if (index === 'identify') continue
            const sample = short.samples[index]
            for (const pin of PINS) {
              const input = sample?.pins[pin]
              if (input === undefined) continue
              const taken = sample?.when === 'always' || six
              if (!taken && !waits(input)) continue
              if (taken) sampled.add(input)
              said.set(input, (said.get(input) ?? new Set()).add(taken && low(rises, level, pin)))
            }
          }
        }
        const which = (wanted: (answers: Set<boolean>) => boolean) =>
          maskOf([...said].flatMap(([input, answers]) => (wanted(answers) ? [input] : [])))
        expect(found).toEqual({
          pressed: which((answers) => answers.has(true)),
          flickering: which((answers) => answers.size === 2),
          sampled: maskOf(sampled),
        })
      }),
    )
  })
})
