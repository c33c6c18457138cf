import { INPUTS, PINS } from '../port/pins.ts'
import type { Input, Level, Pin } from '../port/pins.ts'
import { SIX_BUTTON_CHART, THREE_BUTTON_CYCLE } from '../port/family.ts'
import { sameJson } from '../document/same-json.ts'
import type { ShortSample, ShortTitle } from './short-title.ts'

/** The inputs that a phase carries, as a title would take its pins. */
function pinsOf(cells: Readonly<Record<Pin, string>>): ShortSample['pins'] {
  return Object.fromEntries(
    PINS.map((pin) => [pin, INPUTS.find((input) => input === cells[pin])]).filter(
      ([, input]) => input !== undefined,
    ),
  ) as Partial<Record<Pin, Input>>
}

/** A sample of what a three-button pad answers in that phase. */
export const plainSample = (cycle: number, level: Level): ShortSample => ({
  cycle,
  level,
  pins: pinsOf(THREE_BUTTON_CYCLE[level]),
  when: 'always',
})

/** What a title reads, by the questions that people can answer about it. */
export const WAYS_OF_READING = ['first', 'every', 'six', 'own'] as const
export type WayOfReading = (typeof WAYS_OF_READING)[number]

/**
 * In which cycle of a read a six-button pad identifies itself: it comes with the second rise (common practice, no source), and from rest low the
 * opening rise counts.
 */
export const identificationCycle = (rest: Level): number => (rest === 'low' ? 2 : 3)

/** How many cycles later the phase chart has a cycle of the short way to say a title: from rest low the opening rise counts. */
export const chartCycles = (rest: Level): number => (rest === 'low' ? 1 : 0)

type ReadParts = Pick<ShortTitle, 'samples' | 'sixButtons' | 'cyclesPerRead'>

/** The samples, belief and cycles of a way of reading. */
export function partsOf(
  reads: Exclude<WayOfReading, 'own'>,
  title: Pick<ShortTitle, 'cyclesPerRead' | 'rest'>,
): ReadParts {
  if (reads === 'six') {
    const cycle = identificationCycle(title.rest)
    const extra: ShortSample = {
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
export function readsOf(title: ReadParts & Pick<ShortTitle, 'rest'>): WayOfReading {
  const { samples, sixButtons, cyclesPerRead } = title
  const found = WAYS_OF_READING.filter((reads) => reads !== 'own').find((reads) => {
    const parts = partsOf(reads, title)
    return sameJson(parts, { cyclesPerRead, samples: sorted(samples), sixButtons })
  })
  return found ?? 'own'
}

/** In the order of partsOf: by cycle, high before low, as the standard samples run. */
const sorted = (samples: readonly ShortSample[]): ShortSample[] =>
  [...samples].sort((a, b) => a.cycle - b.cycle || (a.level === b.level ? 0 : a.level === 'high' ? -1 : 1))
