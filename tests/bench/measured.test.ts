import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { compareMeasured, readStimulus } from '../../src/bench/measured.ts'
import type { MeasuredPins } from '../../src/bench/measured.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { PortEngine } from '../../src/port/engine.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbInputMask, arbProfile } from '../arbitraries.ts'
import { arbShort, arbTitle } from './arbitrary-title.ts'
import { limits } from './play.ts'
import { PLAIN } from './plain-titles.ts'
import { middlesOf } from './repeat-by-hand.ts'
import { withShort } from './short-titles.ts'
import { draws } from '../draws.ts'

const six = BUILT_IN_PROFILES['six-button']
const title = PLAIN.burst

/** What an analyser would see of an adapter that answers `lateNs` after each edge. */
function answered(
  profile: Profile,
  held: number,
  stimulus: ReturnType<typeof readStimulus>,
  lateNs: number,
): MeasuredPins {
  const runner = new ProfileRunner({ ...profile, delayNs: lateNs })
  runner.ask(held)
  const engine = new PortEngine(runner, stimulus.rest)
  for (const { atNs, level } of stimulus.edges) engine.select(atNs, level)
  engine.advance(stimulus.endNs)
  const [start, ...changes] = engine.changes as { atNs: number; pins: number }[]
  return { start: start?.pins ?? 0, changes: changes.filter(({ atNs }) => atNs <= stimulus.endNs) }
}

describe('readStimulus', () => {
  test('moves select as the title does: five falls and five rises, 2.6 µs apart', () => {
    const { rest, edges, endNs } = readStimulus(six, title, REFERENCE_ADAPTER)
    expect(rest).toBe('high')
    expect(edges.map(({ level }) => level)).toEqual(Array.from({ length: 5 }, () => ['low', 'high']).flat())
    expect(edges.map(({ atNs }) => atNs)).toEqual(Array.from({ length: 10 }, (_, k) => 2_600 * (k + 1)))
    expect(endNs).toBe(28_600)
  })

  test('leaves out a pulse that is shorter than the clock tells', () => {
    const hasty = withShort(title, {
      cyclesPerRead: 2,
      edgeSpacingNs: { minNs: 5_000, maxNs: 5_000 },
      drive: { kind: 'released', riseNs: { minNs: 4_998, maxNs: 4_998 } },
    })
    // The first rise comes 2 ns before the fall after it.
    expect(readStimulus(six, hasty, REFERENCE_ADAPTER)).toEqual({
      rest: 'high',
      edges: [
        { atNs: 5_000, level: 'low' },
        { atNs: 25_000, level: 'high' },
      ],
      endNs: 30_000,
    })
  })

  test('moves select where it is written, later where it is let go, and not where a fall comes first', () => {
    let lost = 0
    fc.assert(
      fc.property(arbProfile, arbShort, (profile, read: ShortTitle) => {
        const { edgeSpacingNs: spacingNs, riseNs } = middlesOf(limits(profile, read, REFERENCE_ADAPTER))
        const opens = read.rest === 'high' ? 1 : 0
        const writes = Array.from({ length: 2 * read.cyclesPerRead }, (_, k) => ({
          atNs: (opens + k) * spacingNs,
          level: (opens + k) % 2 === 0 ? 'high' : 'low',
        }))
        // From the last write that has come by then: only a rise takes time, and a fall in the meantime ends it.
        const levelAt = (ns: number): string => {
          let level: string = read.rest
          for (const { atNs, level: written } of writes) {
            if (written === 'low' && atNs <= ns) level = 'low'
            const isUp = written === 'high' && atNs + riseNs <= ns
            if (
              isUp &&
              !writes.some((fall) => fall.level === 'low' && fall.atNs > atNs && fall.atNs <= atNs + riseNs)
            )
              level = 'high'
          }
          return level
        }
        const { edges, endNs } = readStimulus(profile, titleOfShort(read), REFERENCE_ADAPTER)
        expect(edges.every(({ atNs }) => atNs % 8 === 0 && atNs < endNs)).toBe(true)
        let before: string = read.rest
        for (const [k, { atNs, level }] of edges.entries()) {
          expect(level).not.toBe(before)
          before = level
          expect(atNs).toBeGreaterThan(edges[k - 1]?.atNs ?? -1)
        }
        // The clock moves an edge by 4 ns at the most.
        for (const { atNs } of writes)
          for (const ns of [atNs + 4, atNs + riseNs + 4, atNs - 5]) {
            const isNear = [...writes, ...writes.map((one) => ({ atNs: one.atNs + riseNs }))].some(
              (one) => Math.abs(one.atNs - ns) < 4,
            )
            if (isNear || ns < 0) continue
            expect(edges.filter((edge) => edge.atNs <= ns).pop()?.level ?? read.rest).toBe(levelAt(ns))
          }
        lost += writes.length - edges.length
      }),
    )
    expect(lost).toBeGreaterThan(0)
  })
})

describe('compareMeasured', () => {
  test('an adapter that answers within its stated time is equal, whatever the profile and the title', () => {
    fc.assert(
      fc.property(
        arbProfile,
        arbTitle,
        arbInputMask,
        fc.integer({ min: REFERENCE_ADAPTER.replyNs.minNs, max: REFERENCE_ADAPTER.replyNs.maxNs }),
        (profile, read, held, lateNs) => {
          const stimulus = readStimulus(profile, read, REFERENCE_ADAPTER)
          const pins = answered(profile, held, stimulus, profile.delayNs + lateNs)
          expect(compareMeasured(profile, held, stimulus, pins, REFERENCE_ADAPTER).differsAtNs).toBeNull()
        },
      ),
      { numRuns: draws(300) },
    )
  })

  test('tells the replies of each edge', () => {
    const stimulus = readStimulus(six, title, REFERENCE_ADAPTER)
    const pins = answered(six, 0, stimulus, 48)
    expect(compareMeasured(six, 0, stimulus, pins, REFERENCE_ADAPTER).replyNs).toEqual({
      minNs: 48,
      maxNs: 48,
    })
  })

  test('a reply that comes too late differs where its time is over', () => {
    const stimulus = readStimulus(six, title, REFERENCE_ADAPTER)
    const pins = answered(six, 0, stimulus, 150)
    expect(compareMeasured(six, 0, stimulus, pins, REFERENCE_ADAPTER).differsAtNs).toBe(2_700)
  })

  test('another profile, another hand or one wrong pin differs', () => {
    const stimulus = readStimulus(six, title, REFERENCE_ADAPTER)
    const pins = answered(six, 1, stimulus, 48)
    const differs = (profile: Profile, held: number, seen: MeasuredPins) =>
      compareMeasured(profile, held, stimulus, seen, REFERENCE_ADAPTER).differsAtNs
    expect(differs(six, 1, pins)).toBeNull()
    expect(differs(six, 0, pins)).toBe(0)
    // Up held and let go look alike until the third low, which is low either way; the fourth high carries Z.
    expect(differs(BUILT_IN_PROFILES['three-button'], 1, pins)).not.toBeNull()
    const last = pins.changes.length - 1
    const wrong = pins.changes.map((change, k) =>
      k === last ? { ...change, pins: change.pins ^ 1 } : change,
    )
    expect(differs(six, 1, { ...pins, changes: wrong })).not.toBeNull()
  })
})
