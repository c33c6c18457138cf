import fc from 'fast-check'
import { expect, test } from 'vitest'
import { frameNs } from '../../src/port/clocks.ts'
import type { Level } from '../../src/port/pins.ts'
import { IDENTIFIES, scheduleOf } from '../../src/title/schedule.ts'
import type { Schedule } from '../../src/title/schedule.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbShortTitle } from '../title/arbitrary-short.ts'
import { arbShort } from './arbitrary-title.ts'
import { titleOfFields } from './short-titles.ts'
import { draws, often as oftenEnough } from '../draws.ts'

/**
 * What files of version 2 meant, as the comment on short titles in src/title/short-title.ts tells it, written a second time: select is
 * moved cycle by cycle, and every phase gets the sample that names it. It shares no line with what lays steps out.
 */

interface Phase {
  readonly writes: 'low' | 'high' | 'release' | null
  /** From 1. */
  readonly cycle: number
  readonly level: Level
}

/** A burst of cycles: the rest itself comes first where it is high, and one more rise brings select back to it. */
function phasesOf({ rest, drive, cyclesPerRead }: ShortTitle): Phase[] {
  const up = drive.kind === 'released' ? 'release' : 'high'
  const phases: Phase[] = rest === 'high' ? [{ writes: null, cycle: 1, level: 'high' }] : []
  for (let cycle = 1; cycle <= cyclesPerRead; cycle++) {
    if (rest === 'low') phases.push({ writes: up, cycle, level: 'high' })
    phases.push({ writes: 'low', cycle, level: 'low' })
    if (rest === 'high') phases.push({ writes: up, cycle: cycle + 1, level: 'high' })
  }
  return phases
}

/** From one place to another, with the console's clock as far off as it may be, to whole ns outwards. */
const byClock = (ns: number, ppm: number) => ({
  minNs: Math.floor((ns * (1_000_000 - ppm)) / 1_000_000),
  maxNs: Math.ceil((ns * (1_000_000 + ppm)) / 1_000_000),
})

/** What the schedule of a short title has to be, with the samples in the order of their phases. */
function meant(short: ShortTitle): Schedule {
  const { readOffsetsNs, samples, sixButtons, sampleAfterEdgeNs, edgeSpacingNs, clockPpm } = short
  const phases = phasesOf(short)
  const sampled = phases.flatMap((phase) => {
    const isHere = (place: Pick<Phase, 'cycle' | 'level'>): boolean =>
      place.cycle === phase.cycle && place.level === phase.level
    const taken = samples.find(isHere)
    const tells = sixButtons.kind === 'identified' && isHere(sixButtons)
    return taken !== undefined || tells ? [{ phase, taken, tells }] : []
  })
  const late = { minNs: 0, maxNs: short.readJitterNs }
  const onlyIf = null
  const nodes = readOffsetsNs.flatMap((offsetNs, read) =>
    phases.map((phase, k) => {
      const here = read * phases.length + k
      const isLastRead = read === readOffsetsNs.length - 1
      const [first = 0] = readOffsetsNs
      const nextNs = isLastRead ? first + frameNs(short.standard) : (readOffsetsNs[read + 1] ?? 0)
      const one = sampled.findIndex((sample) => sample.phase === phase)
      const sample = sampled[one]
      return {
        mode: 0,
        read,
        readOfFrame: read,
        offsetNs,
        phase: k,
        writes: phase.writes,
        samples: sample
          ? [
              {
                after: sampleAfterEdgeNs,
                uses: sample.tells ? [IDENTIFIES, one] : [one],
                waits: sample.taken?.when === 'six-buttons',
                isReadBack: false,
              },
            ]
          : [],
        next: [
          k === phases.length - 1
            ? {
                kind: 'place' as const,
                to: isLastRead ? 0 : here + 1,
                frames: isLastRead ? 1 : 0,
                onlyIf,
                lasts: byClock(nextNs - offsetNs, clockPpm),
                late,
              }
            : {
                kind: 'gap' as const,
                to: here + 1,
                frames: 0,
                onlyIf,
                lasts: edgeSpacingNs,
                stretched: null,
              },
        ],
      }
    }),
  )
  /** Steps of the read before a phase: the edges, of which the rest is none, and the samples. */
  const stepOf = (one: number, { phase }: (typeof sampled)[number]): number =>
    phases.slice(0, phases.indexOf(phase) + 1).filter(({ writes }) => writes !== null).length + one
  return {
    idleLevel: short.rest,
    opensLate: late,
    nodes,
    rise: short.drive.kind === 'released' ? short.drive.riseNs : null,
    samples: sampled.map((sample, one) => {
      const { cycle, level } = sample.phase
      return {
        pins: sample.taken?.pins ?? {},
        readBack: null,
        when: sample.taken?.when ?? 'always',
        agreesWith: {},
        // Messages count as the phase chart does: from rest low the opening rise opens cycle 2.
        place: {
          mode: 0,
          read: 0,
          step: stepOf(one, sample),
          cycle: short.rest === 'low' ? cycle + 1 : cycle,
          level,
        },
      }
    }),
    sixButtons:
      sixButtons.kind === 'identified'
        ? {
            kind: 'told',
            by: [{ samples: [sampled.findIndex(({ tells }) => tells)], low: sixButtons.lowPins, high: [] }],
            holds: 'read',
            isAtOnce: true,
          }
        : { kind: sixButtons.kind },
    readsPerFrame: readOffsetsNs.length,
  }
}

test('a lifted title does what its file of version 2 said, node by node', () => {
  let told = 0
  let released = 0
  let often = 0
  fc.assert(
    fc.property(fc.oneof(arbShort, arbShortTitle), (short) => {
      if (short.sixButtons.kind === 'identified') told++
      if (short.drive.kind === 'released') released++
      if (short.readOffsetsNs.length > 1) often++
      const { mode: _mode, sources: _sources, captures: _captures, leftOver: _leftOver, ...fields } = short
      const wanted = meant(short)
      expect(scheduleOf(titleOfShort(short))).toEqual(wanted)
      expect(scheduleOf(titleOfFields(fields))).toEqual(wanted)
    }),
    { numRuns: draws(1_000) },
  )
  expect(Math.min(told, released, often)).toBeGreaterThan(oftenEnough(100))
})
