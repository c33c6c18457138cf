import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { frameOf } from '../../src/bench/play/rounds.ts'
import { middleTiming } from '../../src/bench/play/timing.ts'
import { aliases, tryingRates } from '../../src/bench/repeat/aliases.ts'
import { playRepeat } from '../../src/bench/repeat/play-repeat.ts'
import { seenAtRate, seenByFrame } from '../../src/bench/repeat/seen.ts'
import type { RepeatSeen } from '../../src/bench/repeat/seen.ts'
import { frameSigns, repeatSentence } from '../../src/bench/repeat/repeat-words.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { INPUTS } from '../../src/port/pins.ts'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbChart } from '../arbitraries.ts'
import { arbShort } from './arbitrary-title.ts'
import { limits } from './play.ts'
import { middlesOf, samplesByHand } from './repeat-by-hand.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'
import { draws } from '../draws.ts'

const six = BUILT_IN_PROFILES['six-button']
const three = BUILT_IN_PROFILES['three-button']

const once = PLAIN.once
const twice = PLAIN.released

const arbReads = fc.integer({ min: 1, max: 4 })
const arbRate = fc.record({ pressedReads: arbReads, releasedReads: arbReads })
/** Idle resets inside reads, between reads, between frames, and never. */
const arbIdleNs = fc.oneof(
  fc.integer({ min: 10_000, max: 120_000 }),
  fc.integer({ min: 1_000_000, max: 40_000_000 }),
  fc.constant(100_000_000),
)
const arbPair = fc
  .record({
    short: arbShort,
    jitterNs: fc.constantFrom(0, 1, 801),
    input: fc.constantFrom(...INPUTS),
    rate: arbRate,
    chart: fc.oneof(fc.constantFrom(six.chart, three.chart), arbChart),
    idleResetNs: arbIdleNs,
    delayNs: fc.constantFrom(0, 56),
  })
  .map(({ short, jitterNs, input, rate, ...profile }) => ({
    short: {
      ...short,
      readJitterNs: jitterNs,
      // So far apart that no read comes late enough to meet the next one.
      readOffsetsNs: short.readOffsetsNs.map((ns, k) => ns + k * 1_000),
    } satisfies ShortTitle,
    input,
    rate,
    profile: { ...six, ...profile, repeat: { [input]: { kind: 'reads', ...rate } } } as Profile,
  }))

describe('what a title sees of a held input', () => {
  it('agrees sample by sample with a count by hand, frames after the pattern comes again included', () => {
    fc.assert(
      fc.property(arbPair, fc.constantFrom(null, 0, 1, 3), ({ profile, short, input }, press) => {
        const title = titleOfShort(short)
        const timing = middleTiming(boxOf(profile, title, REFERENCE_ADAPTER))
        const played = playRepeat(
          profile,
          title,
          timing,
          input,
          press === null ? null : { afterResets: press },
        )
        const frames = Math.min(24, 2 * (played.lead + played.period) + 1)
        const seen = Array.from({ length: frames }, (_, k) =>
          frameOf(played, k).samples.map(({ pressed }) => pressed),
        )
        const middles = middlesOf(limits(profile, short, REFERENCE_ADAPTER))
        expect(seen).toEqual(samplesByHand(profile, short, middles, input, press ?? Infinity, frames))
      }),
      { numRuns: draws(400) },
    )
  })

  it('has a period that is the shortest one: no shorter one does for the samples and the resets together with the repeat', () => {
    // One idle reset a frame: the pattern is that of the repeat.
    fc.assert(
      fc.property(arbRate, (rate) => {
        const seen = seenAtRate(three, once, REFERENCE_ADAPTER, 'a', rate)
        if (!seen.ok) throw new Error(seen.error)
        expect(seen.value.moments.map(({ periodFrames }) => periodFrames)).toEqual([
          rate.pressedReads + rate.releasedReads,
        ])
      }),
    )
  })

  it('whenever the press comes, it is one of the pictures that are told, and each of these is met', () => {
    fc.assert(
      fc.property(arbPair, ({ profile, short, input, rate }) => {
        const title = titleOfShort(short)
        const told = seenAtRate(profile, title, REFERENCE_ADAPTER, input, rate)
        if (!told.ok) return
        const timing = middleTiming(boxOf(profile, title, REFERENCE_ADAPTER))
        const middles = middlesOf(limits(profile, short, REFERENCE_ADAPTER))
        const idle = playRepeat(profile, title, timing, input, null)
        const resets = idle.frames.reduce((sum, frame) => sum + frame.resets, 0)
        const share = (pressed: number, of: number) => (of === 0 ? 'none' : (pressed / of).toFixed(9))
        const met = new Set<string>()
        // By hand, over whole periods of the title and the repeat together, after everything has settled.
        const turn = rate.pressedReads + rate.releasedReads
        if ((idle.lead + idle.period * turn) * short.readOffsetsNs.length * short.cyclesPerRead > 60) return
        for (let afterResets = 0; afterResets <= Math.min(resets, 2 * turn); afterResets++) {
          const settled =
            idle.lead +
            (afterResets === 0 ? 0 : idle.period * Math.ceil(afterResets / Math.max(1, resets)) + idle.period)
          const samples = samplesByHand(
            profile,
            short,
            middles,
            input,
            afterResets,
            settled + idle.period * turn,
          )
            .slice(settled)
            .flat()
          met.add(share(samples.filter((pressed) => pressed).length, samples.length))
        }
        expect(met).toEqual(
          new Set(told.value.moments.map(({ pressedSamples, samples }) => share(pressedSamples, samples))),
        )
      }),
      { numRuns: draws(150) },
    )
  })
})

describe('findings, each worked out by hand', () => {
  const at = (
    title: Title,
    pressedReads: number,
    releasedReads: number,
    profile: Profile = three,
  ): RepeatSeen => {
    const seen = seenAtRate(profile, title, REFERENCE_ADAPTER, 'a', { pressedReads, releasedReads })
    if (!seen.ok) throw new Error(seen.error)
    return seen.value
  }
  const brief = ({ finding, moments, countedReadsPerFrame }: RepeatSeen) => ({
    finding,
    counted: countedReadsPerFrame,
    seen: moments.map(({ pressedSamples, samples, presses, periodFrames }) => [
      pressedSamples,
      samples,
      presses,
      periodFrames,
    ]),
  })
  /** Frames of 525 lines: 59.9228 Hz (tests/port/clocks.test.ts holds it against the published constants). */
  const FRAME_HZ = 59.9227

  it('one read a frame with its idle reset is seen as asked', () => {
    const seen = at(once, 2, 1)
    expect(brief(seen)).toEqual({ finding: 'as-asked', counted: 1, seen: [[2, 3, 1, 3]] })
    expect(seen.askedHz).toBeCloseTo(FRAME_HZ / 3, 3)
    expect(seen.moments[0]?.pressesHz).toBeCloseTo(FRAME_HZ / 3, 3)
    expect(repeatSentence(seen)).toBe('A is seen as asked: pressed in 2 of 3 samples, 19.97 Hz.')
  })

  it('names the mode that is played, where a title has several', () => {
    const [play] = once.modes
    if (play === undefined) throw new Error('a title has a mode')
    const menu = { ...play, name: 'Menu' }
    const two = (last: Title['modes'][number]): Title => ({ ...once, modes: [menu, last] })
    const said = (title: Title): string => repeatSentence(at(title, 2, 1))
    const seen = 'A is seen as asked: pressed in 2 of 3 samples, 19.97 Hz.'
    expect(said(two({ ...play, name: 'In play' }))).toBe(
      `${seen} The reads are those of “In play”, the last of its modes.`,
    )
    expect(said(two(play))).toBe(`${seen} The reads are those of mode 2, the last of its modes.`)
    const starts = { kind: 'interval', after: { minNs: 3_000_000, maxNs: 4_000_000 } } as const
    const polled = two({ ...play, name: 'In play', reads: play.reads.map((read) => ({ ...read, starts })) })
    expect(
      seenAtRate(three, polled, REFERENCE_ADAPTER, 'a', { pressedReads: 2, releasedReads: 1 }),
    ).toMatchObject({
      error: expect.stringContaining(
        'in “In play”, the last of its modes, at intervals that no frame ties',
      ) as unknown,
    })
  })

  it('two reads a frame, each with its reset, and a rate of two: every frame shows the same', () => {
    const seen = at(twice, 1, 1)
    expect(brief(seen)).toEqual({ finding: 'same-each-frame', counted: 2, seen: [[1, 2, 1, 1]] })
    expect(repeatSentence(seen)).toContain('Every frame shows A the same')
    expect(brief(at(twice, 2, 2))).toEqual({ finding: 'as-asked', counted: 2, seen: [[2, 4, 1, 2]] })
  })

  it('two reads in one go, and one idle reset a frame: half the rate', () => {
    const pair = withShort(twice, { readOffsetsNs: [300_000, 700_000] })
    const seen = at(pair, 1, 1)
    expect(brief(seen)).toEqual({ finding: 'other-rate', counted: 1, seen: [[2, 4, 1, 2]] })
    expect(repeatSentence(seen)).toBe(
      'A is seen pressed in 2 of 4 samples, 29.96 Hz; advancing with each read it would be 59.92 Hz. ' +
        'The title makes two reads a frame, but there is one idle reset in it, and the repeat advances with that.',
    )
  })

  it('two reads in one go and one apart: uneven, or another share for each moment', () => {
    const lame = withShort(twice, { readOffsetsNs: [300_000, 700_000, 9_000_000] })
    // Steps 0 0 1 in every frame, or 1 1 0, as two resets a frame go into the rate without remainder.
    expect(brief(at(lame, 1, 1))).toEqual({
      finding: 'by-moment',
      counted: 2,
      seen: [
        [2, 3, 1, 1],
        [1, 3, 1, 1],
      ],
    })
    // Steps 0 0 1, 2 2 0, 1 1 2; pressed while below 2: ### ..# ##. and round again.
    expect(brief(at(lame, 2, 1))).toEqual({ finding: 'uneven', counted: 2, seen: [[6, 9, 2, 3]] })
  })

  it('without an idle reset the repeat never moves on', () => {
    const seen = at(once, 1, 3, { ...three, idleResetNs: 100_000_000 })
    expect(brief(seen)).toEqual({ finding: 'always-pressed', counted: 0, seen: [[1, 1, 0, 1]] })
    expect(repeatSentence(seen)).toBe(
      'A is never seen released. The title makes one read a frame, but no idle reset ever comes, so the repeat does not advance.',
    )
  })

  it('with A only in the fourth cycle and an idle reset in every cycle, a press is lost or never ends, by its moment', () => {
    // The idle reset of 10 µs comes once in each wait of 20 µs from rise to rise and once after the last: 4 a read. A rate of 2 + 2 comes round with
    // the read, so the one sample is at the same step for ever; which one hangs on the press.
    const slow = withShort(PLAIN.six, {
      edgeSpacingNs: { minNs: 10_000, maxNs: 10_000 },
      sampleAfterEdgeNs: { minNs: 2_000, maxNs: 2_000 },
      samples: [{ cycle: 4, level: 'low', pins: { 6: 'a' }, when: 'always' }],
      sixButtons: { kind: 'never' },
    })
    const seen = at(slow, 2, 2, { ...three, idleResetNs: 10_000 })
    expect(seen.countedReadsPerFrame).toBe(4)
    expect(seen.finding).toBe('by-moment')
    expect(new Set(seen.moments.map(({ finding }) => finding))).toEqual(
      new Set(['always-pressed', 'never-pressed']),
    )
    expect(repeatSentence(seen)).toContain('depends on the moment of the press')
    expect(repeatSentence(seen)).toContain('never pressed (pressed in 0 of 1 samples)')
    // Four steps a frame in a rate of 3 + 3: steps 0 4 2, or 1 5 3; pressed while below 3.
    expect(brief(at(slow, 3, 3, { ...three, idleResetNs: 10_000 }))).toEqual({
      finding: 'by-moment',
      counted: 4,
      seen: expect.arrayContaining([
        [2, 3, 1, 3],
        [1, 3, 1, 3],
      ]),
    })
  })

  it('a misread that spoils some samples is called one', () => {
    // Up in front of the six-button reply: the third low is always low, the fourth high carries Z, the fourth low is always high.
    const seen = seenAtRate(six, PLAIN.burst, REFERENCE_ADAPTER, 'up', {
      pressedReads: 1,
      releasedReads: 2,
    })
    if (!seen.ok) throw new Error(seen.error)
    expect(brief(seen.value)).toEqual({ finding: 'uneven', counted: 1, seen: [[8 + 1 + 1, 30, 4, 3]] })
    expect(frameSigns(seen.value.moments[0]?.played.frames.slice(-3) ?? [])).toContain('######..##')
    expect(repeatSentence(seen.value)).toContain('look at the verdict of the pair first')
    expect(at(once, 2, 1).moments[0]?.splitReads).toBe(false)
  })

  it('an input that no sample takes is refused; one that waits for a belief that never comes is not sampled', () => {
    expect(seenAtRate(three, once, REFERENCE_ADAPTER, 'x', { pressedReads: 1, releasedReads: 1 })).toEqual({
      ok: false,
      error: 'Once a frame never samples X; choose an input that it reads',
    })
    expect(workToEnd(tryingRates(three, once, REFERENCE_ADAPTER, 'x')).ok).toBe(false)
    const seen = seenAtRate(three, PLAIN.six, REFERENCE_ADAPTER, 'x', {
      pressedReads: 1,
      releasedReads: 1,
    })
    expect(seen.ok && seen.value.finding).toBe('not-looked-at')
  })
})

describe('frames and rates', () => {
  it('frame by frame, from power-on', () => {
    const profile: Profile = { ...three, repeat: { a: { kind: 'reads', pressedReads: 2, releasedReads: 3 } } }
    const frames = seenByFrame(profile, once, REFERENCE_ADAPTER, 'a', 12)
    expect(frameSigns(frames)).toBe('# # . . . # # . . . # #')
    expect(frameSigns(seenByFrame(profile, twice, REFERENCE_ADAPTER, 'a', 5))).toBe('## .. .# #. ..')
    expect(frameSigns([{ samples: [], reads: 1, resets: 0 }])).toBe('-')
    // Offset 120 µs, edge after 2750, sample 2430 after it.
    expect(frames[0]?.samples[0]?.atNs).toBe(120_000 + 2_750 + 2_430)
  })

  it('the grid holds every rate once, and the aliases are those that are not seen as asked', () => {
    const grid = workToEnd(tryingRates(three, twice, REFERENCE_ADAPTER, 'a'))
    if (!grid.ok) throw new Error(grid.error)
    expect(new Set(grid.value.map(({ rate }) => `${rate.pressedReads} ${rate.releasedReads}`)).size).toBe(64)
    expect(
      aliases(grid.value).map(({ rate, finding }) => [rate.pressedReads, rate.releasedReads, finding]),
    ).toEqual([[1, 1, 'same-each-frame']])
    const all = workToEnd(
      tryingRates({ ...three, idleResetNs: 100_000_000 }, twice, REFERENCE_ADAPTER, 'a', 3),
    )
    if (!all.ok) throw new Error(all.error)
    expect(aliases(all.value).length).toBe(9)
  })
})
