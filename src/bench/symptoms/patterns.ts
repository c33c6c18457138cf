import { USUAL_IDLE_RESET_NS } from '../../port/family.ts'
import type { Level, Pin } from '../../port/pins.ts'
import type { Title } from '../../title/schema.ts'
import type { ShortSample, ShortTitle } from '../../title/short-title.ts'
import { titleOfShort } from '../../title/title-of-short.ts'
import { plainSample } from '../../title/ways-of-reading.ts'
import { timeWord } from '../../words/figures.ts'
import { numberWord } from '../../words/number-texts.ts'
import { patternTexts as t } from './symptom-texts.ts'

/**
 * Read patterns that titles have been found to use, made from a few parameters each. That titles read so, and that these are
 * the ways in which they go wrong, is common practice, no source; the figures are ours, chosen to stand for a kind.
 */
export interface ReadPattern {
  /** Short and stable, such as `burst-4`. */
  readonly id: string
  /** Patterns of one family do the same with other figures: `burst`. */
  readonly family: string
  /** What the title does, to go after "A title that". */
  readonly words: string
  readonly title: Title
}

const both = (cycle: number): ShortSample[] => [plainSample(cycle, 'high'), plainSample(cycle, 'low')]
const upTo = (n: number): number[] => Array.from({ length: n }, (_, k) => k + 1)

/** The extra buttons in the cycle after the identification. */
const extras = (cycle: number): ShortSample => ({
  cycle,
  level: 'high',
  pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' },
  when: 'six-buttons',
})

const about = (ns: number, share: number) => ({
  minNs: ns - Math.round(ns * share),
  maxNs: ns + Math.round(ns * share),
})

const FIRST_READ_NS = 250_000

/** A title that reads one cycle a frame and waits long enough for any pad. */
const ONE_CYCLE: ShortTitle = {
  name: 'one-cycle',
  notes: '',
  fragile: false,
  standard: '525-line',
  readOffsetsNs: [FIRST_READ_NS],
  readJitterNs: 0,
  clockPpm: 0,
  cyclesPerRead: 1,
  edgeSpacingNs: about(4_500, 0.1),
  sampleAfterEdgeNs: about(2_600, 0.04),
  rest: 'high',
  drive: { kind: 'driven' },
  samples: both(1),
  sixButtons: { kind: 'never' },
  takesOpposite: true,
  mode: '',
  sources: {},
  captures: [],
}

/** @param does says in the language of the moment what the title does */
const pattern = (id: string, does: () => string, fields: Partial<ShortTitle>): ReadPattern => ({
  id,
  family: id.replace(/-\d.*$/, ''),
  get words() {
    return does()
  },
  title: titleOfShort({ ...ONE_CYCLE, name: id, ...fields }),
})

const reads = (n: number, gapNs: number): number[] =>
  Array.from({ length: n }, (_, k) => FIRST_READ_NS + k * gapNs)

/** From rest low the opening rise counts, so the identification comes a cycle sooner. */
const six = (rest: Level, lowPins: readonly Pin[], more: Partial<ShortTitle> = {}): Partial<ShortTitle> => {
  const cycle = rest === 'low' ? 2 : 3
  return {
    rest,
    cyclesPerRead: cycle + 1,
    samples: [...both(1), extras(cycle + 1)],
    sixButtons: { kind: 'identified', cycle, level: 'low', lowPins },
    ...more,
  }
}

const ALL_DIRECTIONS: readonly Pin[] = [1, 2, 3, 4]

/** The simplest first: of patterns that explain as much it is the likelier. */
export const READ_PATTERNS: readonly ReadPattern[] = [
  pattern('one-cycle', () => t.oneCycle, {}),
  pattern('rests-low-1', () => t.oneCycleLow, { rest: 'low' }),
  pattern('one-direction', () => t.oneDirection, {
    takesOpposite: false,
  }),
  ...[2, 3, 4, 5, 6].map((n) =>
    pattern(`burst-${n}`, () => t.burst({ n, cycles: numberWord(n) }), {
      cyclesPerRead: n,
      samples: upTo(n).flatMap(both),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`rests-low-${n}`, () => t.burstLow({ n, cycles: numberWord(n) }), {
      rest: 'low',
      cyclesPerRead: n,
      samples: upTo(n).flatMap(both),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`last-of-${n}`, () => t.last({ n, cycles: numberWord(n) }), {
      cyclesPerRead: n,
      samples: both(n),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`often-${n}`, () => t.often({ n, times: numberWord(n) }), {
      readOffsetsNs: reads(n, 100_000),
    }),
  ),
  ...[2, 3].map((n) =>
    pattern(`often-${n}-pairs`, () => t.oftenPairs({ n, times: numberWord(n) }), {
      cyclesPerRead: 2,
      samples: [1, 2].flatMap(both),
      readOffsetsNs: reads(n, 100_000),
    }),
  ),
  ...[1_200_000, USUAL_IDLE_RESET_NS + 300, 1_700_000].map((gapNs) =>
    pattern(`apart-${Math.floor(gapNs / 1_000)}`, () => t.apart({ gap: timeWord(gapNs) }), {
      readOffsetsNs: reads(4, gapNs),
    }),
  ),
  pattern('uneven', () => t.uneven({ gap: timeWord(USUAL_IDLE_RESET_NS) }), {
    readOffsetsNs: reads(4, USUAL_IDLE_RESET_NS + 5_000),
    readJitterNs: 20_000,
  }),
  pattern('drifts', () => t.drifts, {
    readOffsetsNs: reads(4, USUAL_IDLE_RESET_NS + 600),
    clockPpm: 1_000,
  }),
  ...[15, 70, 120, 220, 500].map((ns) =>
    pattern(`soon-${ns}`, () => t.soon({ after: timeWord(ns) }), {
      edgeSpacingNs: about(1_000, 0.1),
      sampleAfterEdgeNs: about(ns, 0.1),
    }),
  ),
  ...[1_100, 2_300, 3_500, 7_000].map((ns) =>
    pattern(`released-${ns}`, () => t.released({ rise: timeWord(ns) }), {
      cyclesPerRead: 2,
      samples: [1, 2].flatMap(both),
      drive: { kind: 'released', riseNs: about(ns, 0.1) },
    }),
  ),
  pattern('six', () => t.six, six('high', ALL_DIRECTIONS)),
  pattern('six-rests-low', () => t.sixLow, six('low', ALL_DIRECTIONS)),
  pattern('six-up-down', () => t.sixUpDown, six('high', [1, 2])),
  pattern('six-up', () => t.sixUp, six('high', [1])),
  pattern('six-left-right', () => t.sixLeftRight, six('high', [3, 4])),
  pattern(
    'six-for-granted',
    () => t.sixAssumed,
    six('high', ALL_DIRECTIONS, { sixButtons: { kind: 'assumed' } }),
  ),
  ...[1_100, 2_300, 3_500].map((ns) =>
    pattern(
      `six-released-${ns}`,
      () => t.sixReleased({ rise: timeWord(ns) }),
      six('high', ALL_DIRECTIONS, { drive: { kind: 'released', riseNs: about(ns, 0.1) } }),
    ),
  ),
  pattern(
    'six-twice',
    () => t.sixTwice,
    six('high', ALL_DIRECTIONS, {
      readOffsetsNs: reads(2, 100_000),
    }),
  ),
]
