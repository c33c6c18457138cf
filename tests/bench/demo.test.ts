import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import { reading } from '../../src/bench/reading.ts'
import { DEFAULT_MARGIN_NS, REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { stopAfter } from '../../src/profile/chart-commands.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { readTitle } from '../../src/title/file.ts'
import type { Title } from '../../src/title/schema.ts'
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
      'Reads five cycles in one burst. The third low phase carries the identification: it takes that for Up and Down.',
    )
    expect(judged(three, 'copper-kite-rally').verdict).toBe('clean')
  })

  test('five cycles in a burst: stopping after the second cycle mends it and costs the extra buttons', () => {
    const mended = judged({ ...six, chart: stopAfter(six.chart, 2) }, 'copper-kite-rally')
    expect(mended.verdict).toBe('clean')
    expect(mended.unseen).toEqual(['x', 'y', 'z', 'mode'])
    expect(judged({ ...six, chart: stopAfter(six.chart, 3) }, 'copper-kite-rally').verdict).toBe('misread')
  })

  test('samples 210 ns after the edge: a reply of 100 ns and a cable of 78 ns leave 32 ns', () => {
    const judgement = judged(six, 'tidewatch')
    expect(judgement).toMatchObject({ verdict: 'tight', marginNs: 32 })
    expect(judgement.reason).toBe(
      'Samples 210 ns after the edge, and the reply, cable included, can take 178 ns: 32 ns margin.',
    )
    const slow = judge({ ...six, delayNs: 26 }, title('tidewatch'), options)
    expect(slow).toMatchObject({ verdict: 'misread', marginNs: -20 })
    expect(slow.counterexample?.cause).toBe('settling')
    expect(slow.reason).toContain('20 ns too early')
    const exact = { ...options, adapter: { ...REFERENCE_ADAPTER, delayStretch: 0 } }
    // To the nanosecond: a reply that stands at the very sample is not in time.
    expect(judge({ ...six, delayNs: 31 }, title('tidewatch'), exact)).toMatchObject({
      verdict: 'tight',
      marginNs: 1,
    })
    expect(judge({ ...six, delayNs: 32 }, title('tidewatch'), exact)).toMatchObject({
      verdict: 'misread',
      marginNs: 0,
    })
  })

  test('rests low: clean with six buttons, as one cycle only reaches the second', () => {
    expect(judged(six, 'the-bellfounder')).toMatchObject({ verdict: 'clean', marginNs: 1802 })
    // From rest low the second fall meets the identification (common practice, no source).
    const twice = judge(
      six,
      withShort(title('the-bellfounder'), { readOffsetsNs: [90_000, 200_000] }),
      options,
    )
    expect(twice.counterexample?.place).toMatchObject({ read: 2, rises: 2, level: 'low' })
    expect(twice.reason).toContain('Reads two times a frame without an idle reset in between')
    expect(twice.reason).toContain('The second low phase carries the identification')
  })

  test('turns select to input: the rise comes late, and is lost when the fall comes first', () => {
    expect(judged(six, 'slack-water-signal').verdict).toBe('clean')
    const slack = title('slack-water-signal')
    const once = shortTitle(slack).samples
    const samples = [...once, ...once.map((sample) => ({ ...sample, cycle: 2 }))]
    const hasty = withShort(slack, { readOffsetsNs: [300_000], cyclesPerRead: 2, samples })
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
    const often = withShort(title('harbour-lanterns'), { readOffsetsNs: [100_000, 400_000, 700_000] })
    expect(judge(six, often, options).verdict).toBe('misread')
    expect(judge({ ...six, idleResetNs: 200_000 }, often, options).verdict).toBe('clean')
    const close = judge({ ...six, idleResetNs: 299_170 }, often, options)
    expect(close).toMatchObject({ verdict: 'tight', marginNs: 67 })
    expect(close.reason).toContain('idle reset')
  })

  test('a title that nothing can spoil says so', () => {
    const idle = withShort(title('harbour-lanterns'), {
      samples: [{ cycle: 1, level: 'high', pins: { 1: 'up' }, when: 'always' }],
    })
    expect(judge(three, idle, options)).toMatchObject({ verdict: 'clean', marginNs: null })
  })
})

describe('reading', () => {
  test('places the ten samples of the burst and points at the guilty one', () => {
    const burst = title('copper-kite-rally')
    const read = reading(six, burst, REFERENCE_ADAPTER, judge(six, burst, options))
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
