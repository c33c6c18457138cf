import { THREE_BUTTON_CYCLE, USUAL_IDLE_RESET_NS } from '../../port/family.ts'
import { INPUTS, PINS } from '../../port/pins.ts'
import type { Level, Pin } from '../../port/pins.ts'
import { TITLE_FORMAT, TITLE_VERSION } from '../../title/schema.ts'
import type { Title, TitleSample } from '../../title/schema.ts'
import { timeWord } from '../../words/figures.ts'
import { numberWord } from '../../words/number-texts.ts'

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

/** What a three-button pad answers in a phase, as a title takes it. */
function plain(cycle: number, level: Level): TitleSample {
  const pins: TitleSample['pins'] = Object.fromEntries(
    PINS.flatMap((pin) => {
      const input = INPUTS.find((one) => one === THREE_BUTTON_CYCLE[level][pin])
      return input === undefined ? [] : [[pin, input]]
    }),
  )
  return { cycle, level, pins, when: 'always' }
}

const both = (cycle: number): TitleSample[] => [plain(cycle, 'high'), plain(cycle, 'low')]
const upTo = (n: number): number[] => Array.from({ length: n }, (_, k) => k + 1)

/** The extra buttons in the cycle after the identification. */
const extras = (cycle: number): TitleSample => ({
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
const ONE_CYCLE: Title = {
  format: TITLE_FORMAT,
  version: TITLE_VERSION,
  name: 'One cycle',
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
}

const pattern = (id: string, words: string, fields: Partial<Title>): ReadPattern => ({
  id,
  family: id.replace(/-\d.*$/, ''),
  words,
  title: { ...ONE_CYCLE, name: id, ...fields },
})

const cycles = (n: number): string => `${numberWord(n)} cycle${n === 1 ? '' : 's'}`

const reads = (n: number, gapNs: number): number[] =>
  Array.from({ length: n }, (_, k) => FIRST_READ_NS + k * gapNs)

/** From rest low the opening rise counts, so the identification comes a cycle sooner. */
const six = (rest: Level, lowPins: readonly Pin[], more: Partial<Title> = {}): Partial<Title> => {
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
  pattern('one-cycle', 'reads one cycle a frame', {}),
  pattern('rests-low-1', 'reads one cycle a frame and rests low', { rest: 'low' }),
  pattern('one-direction', 'was made for a pad on which opposite directions cannot be held', {
    takesOpposite: false,
  }),
  ...[2, 3, 4, 5, 6].map((n) =>
    pattern(`burst-${n}`, `reads ${cycles(n)} in one go and believes each`, {
      cyclesPerRead: n,
      samples: upTo(n).flatMap(both),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`rests-low-${n}`, `rests low, reads ${cycles(n)} in one go and believes each`, {
      rest: 'low',
      cyclesPerRead: n,
      samples: upTo(n).flatMap(both),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`last-of-${n}`, `moves select through ${cycles(n)} and believes the last`, {
      cyclesPerRead: n,
      samples: both(n),
    }),
  ),
  ...[2, 3, 4, 5].map((n) =>
    pattern(`often-${n}`, `reads ${numberWord(n)} times a frame with no idle reset in between`, {
      readOffsetsNs: reads(n, 100_000),
    }),
  ),
  ...[2, 3].map((n) =>
    pattern(
      `often-${n}-pairs`,
      `reads two cycles ${numberWord(n)} times a frame with no idle reset in between`,
      {
        cyclesPerRead: 2,
        samples: [1, 2].flatMap(both),
        readOffsetsNs: reads(n, 100_000),
      },
    ),
  ),
  ...[1_200_000, USUAL_IDLE_RESET_NS + 300, 1_700_000].map((gapNs) =>
    pattern(`apart-${Math.floor(gapNs / 1_000)}`, `reads four times a frame, ${timeWord(gapNs)} apart`, {
      readOffsetsNs: reads(4, gapNs),
    }),
  ),
  pattern('uneven', `reads four times a frame, about ${timeWord(USUAL_IDLE_RESET_NS)} apart but unevenly`, {
    readOffsetsNs: reads(4, USUAL_IDLE_RESET_NS + 5_000),
    readJitterNs: 20_000,
  }),
  pattern('drifts', `reads four times a frame, and its clock drifts across the idle reset`, {
    readOffsetsNs: reads(4, USUAL_IDLE_RESET_NS + 600),
    clockPpm: 1_000,
  }),
  ...[15, 70, 120, 220, 400].map((ns) =>
    pattern(`soon-${ns}`, `samples ${timeWord(ns)} after the edge`, {
      edgeSpacingNs: about(1_000, 0.1),
      sampleAfterEdgeNs: about(ns, 0.1),
    }),
  ),
  ...[1_100, 2_500, 3_500, 7_000].map((ns) =>
    pattern(`released-${ns}`, `releases select, which takes ${timeWord(ns)} to rise`, {
      cyclesPerRead: 2,
      samples: [1, 2].flatMap(both),
      drive: { kind: 'released', riseNs: about(ns, 0.1) },
    }),
  ),
  pattern('six', 'knows six buttons', six('high', ALL_DIRECTIONS)),
  pattern('six-rests-low', 'knows six buttons and rests low', six('low', ALL_DIRECTIONS)),
  pattern('six-up-down', 'knows six buttons by Up and Down alone', six('high', [1, 2])),
  pattern('six-up', 'knows six buttons by Up alone', six('high', [1])),
  pattern('six-left-right', 'knows six buttons by Left and Right alone', six('high', [3, 4])),
  pattern(
    'six-for-granted',
    'takes six buttons for granted',
    six('high', ALL_DIRECTIONS, { sixButtons: { kind: 'assumed' } }),
  ),
  ...[1_100, 2_500, 3_500].map((ns) =>
    pattern(
      `six-released-${ns}`,
      `knows six buttons and releases select, which takes ${timeWord(ns)} to rise`,
      six('high', ALL_DIRECTIONS, { drive: { kind: 'released', riseNs: about(ns, 0.1) } }),
    ),
  ),
  pattern(
    'six-twice',
    'knows six buttons and reads twice a frame with no idle reset in between',
    six('high', ALL_DIRECTIONS, {
      readOffsetsNs: reads(2, 100_000),
    }),
  ),
]
