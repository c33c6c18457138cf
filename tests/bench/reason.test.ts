import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import type { Judgement } from '../../src/bench/judgement.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
import { PLAIN } from './plain-titles.ts'
import { withShort } from './short-titles.ts'
import { title } from './steps-titles.ts'

const six = BUILT_IN_PROFILES['six-button']
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const judged = (one: Title, marginNs = DEFAULT_MARGIN_NS): Judgement =>
  judge(six, one, { ...options, marginNs })

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })

/** Low, a sample, what is written then, and a sample so long after that. */
const lowFirst = (then: object, sampleAfterNs: number, offsetNs = 250_000) => ({
  starts: { kind: 'frame', offsetsNs: [offsetNs], late: exactly(0) },
  steps: [
    { select: 'low', after: exactly(0) },
    { sample: { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, after: exactly(2_000) },
    { after: exactly(1_000), ...then },
    { sample: { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }, after: exactly(sampleAfterNs) },
  ],
})

/** Drives select low, releases it and samples so long after that; the line takes 20 to 22.4 µs to rise. */
const released = (sampleAfterNs: number, waits = false): Title =>
  title('Released', [lowFirst({ select: 'release', waits }, sampleAfterNs)], {
    rise: { minNs: 20_000, maxNs: 22_400 },
  })

// The reference adapter replies within 100 ns and an unknown cable takes 78 (`src/bench/stated.ts`, `src/port/cable.ts`).
describe('a reason that names a released line', () => {
  it('counts rise and reply up to the sample', () => {
    expect(judged(released(22_630))).toMatchObject({
      verdict: 'tight',
      marginNs: 52,
      tightest: { by: 'rise', afterEdgeNs: 22_630 },
      reason:
        'Samples 22.63 µs after releasing select. The line can take 22.40 µs to rise and the reply, cable included, 178 ns more: 52 ns margin, releases select.',
    })
  })

  it('says how much is missing, where the line has risen and the reply has not come', () => {
    expect(judged(released(22_500))).toMatchObject({
      verdict: 'misread',
      counterexample: { cause: 'slow-rise', shortNs: 78 },
    })
    expect(judged(released(22_500)).reason).toMatch(
      /^Samples 22\.50 µs after releasing select, but the line can take 22\.40 µs to rise and the reply, cable included, 178 ns more: 78 ns too early\. It reads the low phase instead of the high one: /,
    )
    expect(judged(released(22_578)).reason).toContain('178 ns more: no margin at all.')
    expect(judged(released(22_579))).toMatchObject({ verdict: 'tight', marginNs: 1 })
  })

  it('counts nothing from an edge that an earlier read made', () => {
    const close = withShort(PLAIN.released, { readOffsetsNs: [300_000, 320_000] })
    expect(judged(close).counterexample).toMatchObject({ cause: 'slow-rise', place: { read: 2, cycle: 1 } })
    expect(judged(close).reason).toMatch(
      /^Releases select and samples 2\.00 µs later, before the line has risen\./,
    )
  })

  it('says that the title waits for the rise, and takes the sample after it for one after an edge', () => {
    expect(judged(released(1_500, true)).reason).toBe(
      '1.32 µs margin, releases select and waits for it to rise.',
    )
    expect(judged(released(300, true))).toMatchObject({
      verdict: 'tight',
      tightest: { by: 'edge' },
      reason:
        'Samples 300 ns after the edge, and the reply, cable included, can take 178 ns: 122 ns margin, releases select and waits for it to rise.',
    })
    expect(judged(released(150, true)).counterexample?.cause).toBe('settling')
  })

  it('takes a driven edge for one, in a title that releases select elsewhere', () => {
    const both = title(
      'Both',
      [lowFirst({ select: 'high' }, 100), lowFirst({ select: 'release' }, 30_000, 8_000_000)],
      { rise: { minNs: 20_000, maxNs: 22_400 } },
    )
    expect(judged(both).counterexample).toMatchObject({ cause: 'settling', place: { read: 1 }, shortNs: 78 })
  })

  it('says what it hangs on where only the rise itself would have to move', () => {
    const seen = new Set<string>()
    fc.assert(
      fc.property(
        fc.integer({ min: 3_000, max: 30_000 }),
        fc.integer({ min: 100, max: 4_000 }),
        (maxNs, apartNs) => {
          const judgement = judged(
            withShort(PLAIN.released, {
              readOffsetsNs: [300_000, 300_000 + maxNs + 8_400 + apartNs],
              drive: { kind: 'released', riseNs: { minNs: 2_000, maxNs } },
            }),
            10_000,
          )
          if (judgement.verdict !== 'tight') return
          seen.add(`${judgement.tightest?.by}`)
          if (judgement.tightest?.by === 'rise')
            expect(judgement.reason).toMatch(
              /^(Samples .* after releasing|Depends on when released select rises: )/,
            )
        },
      ),
    )
    expect([...seen]).toContain('rise')
  })
})

describe('a reason that names an edge', () => {
  it('counts the reply up to the sample: of 210 ns a reply of 100 and a cable of 78 leave 32', () => {
    expect(judged(PLAIN.quick)).toMatchObject({
      verdict: 'tight',
      marginNs: 32,
      reason: 'Samples 210 ns after the edge, and the reply, cable included, can take 178 ns: 32 ns margin.',
    })
  })

  it('says how much is missing, to the nanosecond', () => {
    const slow = judge({ ...six, delayNs: 26 }, PLAIN.quick, options)
    expect(slow).toMatchObject({ verdict: 'misread', marginNs: -20 })
    expect(slow.counterexample?.cause).toBe('settling')
    expect(slow.reason).toContain('20 ns too early')
    const exact = { ...options, adapter: { ...REFERENCE_ADAPTER, delayStretch: 0 } }
    // A reply that stands at the very sample is not in time.
    expect(judge({ ...six, delayNs: 31 }, PLAIN.quick, exact)).toMatchObject({
      verdict: 'tight',
      marginNs: 1,
    })
    expect(judge({ ...six, delayNs: 32 }, PLAIN.quick, exact)).toMatchObject({
      verdict: 'misread',
      marginNs: 0,
    })
  })
})

it('adds up, wherever it names figures', () => {
  let told = 0
  fc.assert(
    fc.property(arbTypicalProfile, arbTitle, arbAdapter, (profile, one, adapter) => {
      const { reason } = judge(profile, one, { adapter, marginNs: 1_000_000 })
      // Figures under 1 µs are whole nanoseconds; longer ones are cut off.
      const figures = /Samples (\d+) ns after .* can take (\d+) ns: (\d+) ns margin/.exec(reason)
      if (figures === null) return
      const [after = 0, slowest = 0, margin = 0] = figures.slice(1).map(Number)
      expect(after - slowest).toBe(margin)
      told++
    }),
    { numRuns: 300 },
  )
  expect(told).toBeGreaterThan(1)
})

describe('a reason of a title with several reads', () => {
  const early = lowFirst({ select: 'high' }, 100, 8_000_000)
  const fine = lowFirst({ select: 'high' }, 2_000)
  const close = lowFirst({ select: 'high' }, 300, 8_000_000)
  const inModes = (menu: object[], play: object[]): Title =>
    title('Modes', [fine], { modes: [{ reads: menu }, { name: 'In play', reads: play }] })

  it.each<[string, Title, string]>([
    ['its read', title('Reads', [fine, early]), 'the second read'],
    ['its mode', inModes([fine], [early]), '“In play”'],
    ['its read and mode', inModes([fine], [fine, early]), 'the second read of “In play”'],
    ['a mode that has no name', inModes([early], [fine]), 'mode 1'],
  ])('names %s, where it is misread', (_, one, where) => {
    const { reason, verdict } = judged(one)
    expect(verdict).toBe('misread')
    expect(reason).toMatch(/^Samples 100 ns after the edge, .*\. This happens in /)
    expect(reason.endsWith(` This happens in ${where}.`)).toBe(true)
  })

  it('names the read that has the least margin', () => {
    const { reason, verdict } = judged(inModes([fine], [fine, close]))
    expect(verdict).toBe('tight')
    expect(reason).toMatch(/: 122 ns margin\. The margin is that of the second read of “In play”\.$/)
  })

  it('names none where there is one, or all read right', () => {
    for (const one of [title('One', [early]), title('Fine', [fine]), inModes([fine], [fine])])
      expect(judged(one).reason).not.toMatch(/happens in|that of/)
  })
})

describe('a cycle is what the phase chart counts', () => {
  it('after the only rise of a low-first read', () => {
    const early = title('Low first', [lowFirst({ select: 'high' }, 100)])
    expect(judged(early).counterexample?.place).toMatchObject({ cycle: 2, level: 'high' })
  })

  it('after the rise that opens a read from low', () => {
    const early = withShort(PLAIN.idlesLow, { sampleAfterEdgeNs: exactly(100) })
    const place = judged(early).counterexample?.place
    expect(place?.cycle).toBe(2)
  })
})

describe('a reason for a count that goes on', () => {
  const polled = (starts: object): Title =>
    title('Polled', [{ ...lowFirst({ select: 'high' }, 2_000), starts }])

  it('speaks of frames only where a frame ties the reads', () => {
    // Every 0.3 to 0.5 ms no idle reset comes (1.1 to 1.8 ms, from memory), so that the third read meets the identification.
    const { verdict, reason } = judged(
      polled({ kind: 'interval', after: { minNs: 300_000, maxNs: 500_000 } }),
    )
    expect(verdict).toBe('misread')
    expect(reason).toMatch(/^No idle reset comes between two reads, so the cycle count goes on\./)
    expect(reason).not.toContain('frame')
    const tied = judged(polled({ kind: 'frame', offsetsNs: [250_000, 750_000, 1_250_000], late: exactly(0) }))
    expect(tied.reason).toMatch(/^Reads three times a frame without an idle reset in between/)
  })
})
