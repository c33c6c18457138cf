import type { Title } from '../../src/title/schema.ts'
import { titleOfFields } from './short-titles.ts'

/**
 * Titles that sample before they move select and then once a phase, for claims about ways of reading, whatever the museum has in its demo. Figures
 * are ours; `quick` samples sooner than a program can (port-facts, "How programs read").
 */

const LOW = { 1: 'up', 2: 'down', 6: 'a', 9: 'start' }
const HIGH = { 1: 'up', 2: 'down', 3: 'left', 4: 'right', 6: 'b', 9: 'c' }

const cycle = (k: number) => [
  { cycle: k, level: 'high', pins: HIGH, when: 'always' },
  { cycle: k, level: 'low', pins: LOW, when: 'always' },
]

const plain = (name: string, fields: object): Title =>
  titleOfFields({
    name,
    notes: '',
    fragile: false,
    standard: '525-line',
    readJitterNs: 0,
    clockPpm: 100,
    cyclesPerRead: 1,
    rest: 'high',
    drive: { kind: 'driven' },
    samples: cycle(1),
    sixButtons: { kind: 'never' },
    takesOpposite: true,
    ...fields,
  })

const between = (minNs: number, maxNs: number) => ({ minNs, maxNs })

export const PLAIN = {
  /** One cycle a frame, with plenty of time. */
  once: plain('Once a frame', {
    readOffsetsNs: [120_000],
    edgeSpacingNs: between(2_600, 2_900),
    sampleAfterEdgeNs: between(2_410, 2_450),
  }),
  /** Five cycles in one burst, and every sample is believed. */
  burst: plain('Five in one burst', {
    fragile: true,
    readOffsetsNs: [250_000],
    cyclesPerRead: 5,
    edgeSpacingNs: between(2_600, 2_600),
    sampleAfterEdgeNs: between(1_690, 1_710),
    samples: [1, 2, 3, 4, 5].flatMap(cycle),
  }),
  /** Looks for six buttons in the third low phase, and reads the extra buttons then. */
  six: plain('Six by identification', {
    readOffsetsNs: [180_000],
    cyclesPerRead: 4,
    edgeSpacingNs: between(2_600, 2_800),
    sampleAfterEdgeNs: between(1_950, 2_000),
    samples: [
      ...cycle(1),
      { cycle: 4, level: 'high', pins: { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' }, when: 'six-buttons' },
    ],
    sixButtons: { kind: 'identified', cycle: 3, level: 'low', lowPins: [1, 2, 3, 4] },
  }),
  /** Select is low between reads, so that the opening rise counts. */
  idlesLow: plain('Idles low', {
    standard: '625-line',
    readOffsetsNs: [90_000],
    edgeSpacingNs: between(2_600, 3_000),
    sampleAfterEdgeNs: between(1_980, 2_040),
    rest: 'low',
  }),
  /** Select is released, and rises by its pull-up alone. */
  released: plain('Released twice a frame', {
    fragile: true,
    readOffsetsNs: [300_000, 8_300_000],
    edgeSpacingNs: between(4_000, 4_400),
    sampleAfterEdgeNs: between(2_000, 2_600),
    drive: { kind: 'released', riseNs: between(20_000, 25_000) },
  }),
  /** Samples 210 ns after the edge. */
  quick: plain('Quick sampler', {
    fragile: true,
    standard: '625-line',
    readOffsetsNs: [400_000],
    edgeSpacingNs: between(1_300, 1_600),
    sampleAfterEdgeNs: between(210, 260),
  }),
} as const
