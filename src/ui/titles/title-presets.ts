import { INPUTS, PINS } from '../../port/pins.ts'
import type { Input, Level, Pin } from '../../port/pins.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../../port/family.ts'
import { sameJson } from '../../document/same-json.ts'
import { TITLE_FORMAT, TITLE_VERSION } from '../../title/schema.ts'
import type { Title, TitleSample } from '../../title/schema.ts'
import { t } from './new-title-texts.ts'

/** The inputs that a phase carries, as a title would take its pins. */
function pinsOf(cells: Readonly<Record<Pin, string>>): TitleSample['pins'] {
  return Object.fromEntries(
    PINS.map((pin) => [pin, INPUTS.find((input) => input === cells[pin])]).filter(
      ([, input]) => input !== undefined,
    ),
  ) as Partial<Record<Pin, Input>>
}

/** A sample of what a three-button pad answers in that phase. */
export const plainSample = (cycle: number, level: Level): TitleSample => ({
  cycle,
  level,
  pins: pinsOf(THREE_BUTTON_CYCLE[level]),
  when: 'always',
})

/** What a title reads, by the questions that people can answer about it. */
export const READS = ['first', 'every', 'six', 'own'] as const
export type Reads = (typeof READS)[number]

/** Where a six-button pad identifies itself: from rest low the opening rise counts, so it comes a cycle sooner. */
export const identificationCycle = (rest: Level): number => (rest === 'low' ? 2 : 3)

type ReadParts = Pick<Title, 'samples' | 'sixButtons' | 'cyclesPerRead'>

/** The samples, belief and cycles of a way of reading. */
export function partsOf(
  reads: Exclude<Reads, 'own'>,
  title: Pick<Title, 'cyclesPerRead' | 'rest'>,
): ReadParts {
  if (reads === 'six') {
    const cycle = identificationCycle(title.rest)
    const extra: TitleSample = {
      cycle: cycle + 1,
      level: 'high',
      pins: pinsOf(
        Object.fromEntries(
          PINS.slice(0, 4).map((pin) => [pin, SIX_BUTTON_CHART.cycles[3]?.high[pin]]),
        ) as never,
      ),
      when: 'six-buttons',
    }
    return {
      cyclesPerRead: Math.max(title.cyclesPerRead, cycle + 1),
      samples: [plainSample(1, 'high'), plainSample(1, 'low'), extra],
      sixButtons: { kind: 'identified', cycle, level: 'low', lowPins: [1, 2, 3, 4] },
    }
  }
  const cycles = reads === 'first' ? 1 : title.cyclesPerRead
  const samples = Array.from({ length: cycles }, (_, k) => [
    plainSample(k + 1, 'high'),
    plainSample(k + 1, 'low'),
  ]).flat()
  return { cyclesPerRead: title.cyclesPerRead, samples, sixButtons: { kind: 'never' } }
}

/** Which way of reading a title has. */
export function readsOf(title: Title): Reads {
  const { samples, sixButtons, cyclesPerRead } = title
  const found = READS.filter((reads) => reads !== 'own').find((reads) => {
    const parts = partsOf(reads, title)
    return sameJson(parts, { cyclesPerRead, samples: sorted(samples), sixButtons })
  })
  return found ?? 'own'
}

/** In the order of partsOf: by cycle, high before low, as the standard samples run. */
const sorted = (samples: readonly TitleSample[]): TitleSample[] =>
  [...samples].sort((a, b) => a.cycle - b.cycle || (a.level === b.level ? 0 : a.level === 'high' ? -1 : 1))

/**
 * Where "Add a title of mine" begins: one cycle a frame, a sample some 2.6 µs after each edge, which is what hand-written
 * reading code that waits two no-ops comes to (from memory).
 */
export const NEW_TITLE: Title = {
  format: TITLE_FORMAT,
  version: TITLE_VERSION,
  get name() {
    return t.name
  },
  notes: '',
  fragile: false,
  standard: '525-line',
  readOffsetsNs: [250_000],
  readJitterNs: 0,
  // A plain crystal, temperature and age counted (from memory).
  clockPpm: 100,
  rest: 'high',
  drive: { kind: 'driven' },
  edgeSpacingNs: { minNs: 4_000, maxNs: 5_000 },
  sampleAfterEdgeNs: { minNs: 2_500, maxNs: 2_700 },
  ...partsOf('first', { cyclesPerRead: 1, rest: 'high' }),
  takesOpposite: true,
}
