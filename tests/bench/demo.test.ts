import { readFileSync, readdirSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { reading } from '../../src/bench/reading.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { stopAfter } from '../../src/profile/chart-commands.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Cable } from '../../src/port/cable.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
import { PLAIN } from './plain-titles.ts'
import { shortTitle, withShort } from './short-titles.ts'

const title = (name: string): Title => {
  const read = readTitle(readFileSync(new URL(`../../static/demo/titles/${name}.json`, import.meta.url)))
  if (!read.ok) throw new Error(`${name}: ${read.error.place} ${read.error.message}`)
  return read.value
}
const options = { adapter: REFERENCE_ADAPTER, marginNs: DEFAULT_MARGIN_NS }
const judged = (profile: Profile, name: string) => judge(profile, title(name), options)

const six = BUILT_IN_PROFILES['six-button']
const three = BUILT_IN_PROFILES['three-button']

// The titles are invented; what they stand for is common practice, no source (reasons why a title goes wrong).
describe('the titles of the Saltmarsh Lamp Museum', () => {
  test('five cycles in a burst: six buttons misread, three do not', () => {
    const judgement = judged(six, 'copper-kite-rally')
    expect(judgement.verdict).toBe('misread')
    expect(judgement.counterexample).toMatchObject({
      held: [],
      phantom: ['up', 'down'],
      missed: [],
      pins: [1, 2],
      cause: 'count',
      place: { read: 1, cycle: 3, level: 'low', rises: 2 },
    })
    expect(judgement.reason).toBe(
      'Reads five cycles in one burst. Cycle 3 low carries the identification: it takes that for Up and Down.',
    )
    expect(judged(three, 'copper-kite-rally').verdict).toBe('clean')
  })

  test('five cycles in a burst: stopping after the second cycle mends it and costs the extra buttons', () => {
    const mended = judged({ ...six, chart: stopAfter(six.chart, 2) }, 'copper-kite-rally')
    expect(mended.verdict).toBe('clean')
    expect(mended.unseen).toEqual(['x', 'y', 'z', 'mode'])
    expect(judged({ ...six, chart: stopAfter(six.chart, 3) }, 'copper-kite-rally').verdict).toBe('misread')
  })

  test('gives a released line 22.63 µs: a rise of 22.40, a reply of 100 ns and a cable of 78 leave 52 ns', () => {
    expect(judged(six, 'tidewatch')).toMatchObject({
      verdict: 'tight',
      marginNs: 52,
      reason:
        'Samples 22.63 µs after releasing select. The line can take 22.40 µs to rise and the reply, cable included, 178 ns more: 52 ns margin, releases select.',
    })
    const behind = (name: Cable) =>
      judge(six, title('tidewatch'), { ...options, adapter: { ...REFERENCE_ADAPTER, cable: name } })
    // A short plug takes 10 ns (`src/port/cable.ts`): 22 630 − 22 400 − 110. No cable makes it clean.
    expect(behind('short')).toMatchObject({ verdict: 'tight', marginNs: 120 })
    expect(judge({ ...six, delayNs: 56 }, title('tidewatch'), options)).toMatchObject({
      verdict: 'misread',
      counterexample: { cause: 'slow-rise' },
    })
  })

  test('rests low: clean with six buttons, as one cycle only reaches the second', () => {
    // 15 cycles of 131.57 ns from the edge to the sample, and 178 ns for the reply and its cable.
    expect(judged(six, 'the-bellfounder')).toMatchObject({ verdict: 'clean', marginNs: 1_974 - 178 })
    // From rest low the second fall meets the identification (common practice, no source).
    const twice = judge(six, withShort(PLAIN.idlesLow, { readOffsetsNs: [90_000, 200_000] }), options)
    expect(twice.counterexample?.place).toMatchObject({ read: 2, rises: 2, level: 'low' })
    expect(twice.reason).toContain('Reads two times a frame without an idle reset in between')
    expect(twice.reason).toContain('Cycle 3 low carries the identification')
  })

  test('turns select to input: the rise comes late, and is lost when the fall comes first', () => {
    expect(judged(six, 'slack-water-signal')).toMatchObject({
      verdict: 'clean',
      marginNs: 1_564 - 178,
      reason:
        '1.38 µs margin, releases select and waits for it to rise. Marked fragile: test it on the console first.',
    })
    const once = shortTitle(PLAIN.released).samples
    const samples = [...once, ...once.map((sample) => ({ ...sample, cycle: 2 }))]
    const hasty = withShort(PLAIN.released, { readOffsetsNs: [300_000], cyclesPerRead: 2, samples })
    const judgement = judge(six, hasty, options)
    expect(judgement.verdict).toBe('misread')
    expect(judgement.counterexample?.cause).toBe('slow-rise')
  })

  test('knows six buttons: sees all twelve inputs of a six-button pad', () => {
    expect(judged(six, 'nine-moths')).toMatchObject({ verdict: 'clean', unseen: [], sixButtons: true })
  })

  test('knows six buttons: Up with Down on a three-button pad looks like six, unless the profile forbids it', () => {
    const open = judged(three, 'nine-moths')
    expect(open.counterexample).toMatchObject({ held: ['up', 'down'], cause: 'belief' })
    const guarded = judged(
      { ...three, opposite: { vertical: 'neutral', horizontal: 'as-held' } },
      'nine-moths',
    )
    expect(guarded).toMatchObject({ verdict: 'clean', sixButtons: false })
  })

  test('three reads a frame without an idle reset reach the identification; a shorter idle reset mends it', () => {
    const often = withShort(PLAIN.once, { readOffsetsNs: [100_000, 400_000, 700_000] })
    expect(judge(six, often, options).verdict).toBe('misread')
    expect(judge({ ...six, idleResetNs: 200_000 }, often, options).verdict).toBe('clean')
    const close = judge({ ...six, idleResetNs: 299_170 }, often, options)
    expect(close).toMatchObject({ verdict: 'tight', marginNs: 67 })
    expect(close.reason).toContain('idle reset')
  })

  test('a title that nothing can spoil says so', () => {
    const idle = withShort(PLAIN.once, {
      samples: [{ cycle: 1, level: 'high', pins: { 1: 'up' }, when: 'always' }],
    })
    expect(judge(three, idle, options)).toMatchObject({ verdict: 'clean', marginNs: null })
  })
})

describe('reading', () => {
  test('places the ten samples of the burst and points at the guilty one', () => {
    const burst = title('copper-kite-rally')
    const read = reading(six, burst, REFERENCE_ADAPTER, judge(six, burst, options))
    // Low first: the last sample comes after the closing rise.
    expect(read.samples.map(({ cycle, level }) => `${cycle}${level[0]}`).join(' ')).toBe(
      '0l 1h 1l 2h 2l 3h 3l 4h 4l 5h',
    )
    expect(read.guilty).toEqual({ sampleIndex: 4, pins: [1, 2], sees: 'Up and Down' })
  })

  test('begins before the opening sample of a title that samples high first', () => {
    const read = reading(six, PLAIN.burst, REFERENCE_ADAPTER, judge(six, PLAIN.burst, options))
    expect(read.samples.map(({ cycle, level }) => `${cycle}${level[0]}`).join(' ')).toBe(
      '0h 0l 1h 1l 2h 2l 3h 3l 4h 4l',
    )
    expect(read.guilty).toEqual({ sampleIndex: 5, pins: [1, 2], sees: 'Up and Down' })
    expect(read.axis).toEqual({ startNs: 0, endNs: 26_000 })
  })

  test('a title that rests low meets the second cycle first, since its opening rise counts', () => {
    const low = title('the-bellfounder')
    const read = reading(six, low, REFERENCE_ADAPTER, judge(six, low, options))
    expect(read.samples.map(({ cycle, level }) => `${cycle}${level[0]}`)).toEqual(['1h', '1l'])
  })
})

/** A cycle of the processor, in ns: a seventh of the master clock (port-facts, "Clocks", from memory). */
const CPU_NS = { '525-line': 1e9 / 7_670_454.5, '625-line': 1e9 / 7_600_489.3 } as const

describe('the code of the titles', () => {
  test.each(readdirSync(new URL('../../static/demo/titles/', import.meta.url)))(
    '%s: whole cycles of its processor, no sample sooner than 4 of them after a driven edge',
    (file) => {
      const { standard, modes } = title(file.replace('.json', ''))
      const cycleNs = CPU_NS[standard]
      const reads = modes.flatMap((mode) => mode.reads)
      expect(reads.length).toBeGreaterThan(0)
      for (const { starts, steps } of reads) {
        const ranges = [
          ...(starts.kind === 'frame' ? [starts.late] : []),
          ...steps.flatMap((step) => ('repeat' in step ? step.steps : [step])).map(({ after }) => after),
        ]
        for (const ns of ranges.flatMap(({ minNs, maxNs }) => [minNs, maxNs]))
          expect(Math.abs(ns - Math.round(ns / cycleNs) * cycleNs)).toBeLessThanOrEqual(0.5)
        steps.forEach((step, k) => {
          const before = steps[k - 1]
          if ('sample' in step && before && 'select' in before)
            expect(Math.round(step.after.minNs / cycleNs)).toBeGreaterThanOrEqual(4)
        })
      }
    },
  )
})
