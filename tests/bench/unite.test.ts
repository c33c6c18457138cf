import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as v from 'valibot'
import { boxOf } from '../../src/bench/box.ts'
import { explore, exploreUpTo } from '../../src/bench/explore.ts'
import type { Exploration } from '../../src/bench/explore.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { Zone } from '../../src/bench/zone.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { TITLE_LIMITS, TitleSchema } from '../../src/title/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'

/** What samples meet, with the nearest other replies. */
const metBy = ({ samples }: Exploration) =>
  new Map(
    samples.map(({ phase, code, identified, neighbours, insideNs }) => [
      `${phase} ${code} ${identified}`,
      { away: new Map(neighbours.map(({ code, isOwn, awayNs }) => [`${code} ${isOwn}`, awayNs])), insideNs },
    ]),
  )

/** Wide spacings, so that many orders are possible; short reads, so that all of them can be told apart. */
const arbWide = arbTitle
  .filter(({ cyclesPerRead }) => cyclesPerRead < 3)
  .map((title): Title => ({ ...title, edgeSpacingNs: { ...title.edgeSpacingNs, minNs: 1_200 } }))

describe('states that are united', () => {
  test('meet what states that are told apart meet, and margins are not told too large', () => {
    let nearer = 0
    let samples = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbWide, arbAdapter, (profile, title, adapter) => {
        const box = boxOf(profile, title, adapter)
        const united = metBy(explore(title, profile.chart, box, 0))
        const apart = metBy(explore(title, profile.chart, box, Infinity))
        expect([...united.keys()].sort()).toEqual([...apart.keys()].sort())
        samples += united.size
        for (const [key, { away, insideNs }] of apart) {
          expect(united.get(key)?.insideNs).toBeGreaterThanOrEqual(insideNs)
          // Beside the two replies before and those to come, what is further away is told or not.
          const nearestNs = Math.min(...away.values())
          const nearestUnitedNs = Math.min(...(united.get(key)?.away.values() ?? []))
          expect(nearestUnitedNs).toBeLessThanOrEqual(nearestNs)
          if (nearestUnitedNs < nearestNs) nearer++
        }
      }),
      { numRuns: 250 },
    )
    expect(nearer).toBeLessThan(samples / 10)
  })
})

describe('two zones', () => {
  test('are united exactly when no timing is allowed that neither allowed', () => {
    const arbBounds = fc.tuple(
      fc.integer({ min: -4, max: 4 }),
      fc.nat(4),
      fc.integer({ min: -4, max: 4 }),
      fc.nat(4),
    )
    const zoneOf = ([p, wideP, q, wideQ]: [number, number, number, number]) => {
      const zone = new Zone()
      zone.origin()
      zone.after(0, p, p + wideP)
      zone.after(1, q, q + wideQ)
      return zone
    }
    const allows = (zone: Zone, ns: readonly number[]) =>
      ns.every((a, i) => ns.every((b, j) => a - b <= zone.most(i, j)))
    const timings = Array.from({ length: 33 * 33 }, (_, k) => [0, Math.floor(k / 33) - 16, (k % 33) - 16])
    let joined = 0
    let kept = 0
    fc.assert(
      fc.property(arbBounds, arbBounds, (one, other) => {
        const [zone, second, hull] = [zoneOf(one), zoneOf(other), zoneOf(one)]
        const either = timings.filter((ns) => allows(zone, ns) || allows(second, ns))
        const didUnite = hull.unite(second)
        if (didUnite) joined++
        else kept++
        const most = [0, 1, 2].map((i) => [0, 1, 2].map((j) => Math.max(zone.most(i, j), second.most(i, j))))
        const between = timings.filter((ns) =>
          ns.every((a, i) => ns.every((b, j) => a - b <= (most[i]?.[j] ?? 0))),
        )
        expect(didUnite).toBe(between.length === either.length)
        expect(timings.filter((ns) => allows(hull, ns))).toEqual(
          didUnite ? either : timings.filter((ns) => allows(zone, ns)),
        )
      }),
      { numRuns: 700 },
    )
    expect(Math.min(joined, kept)).toBeGreaterThan(20)
  })
})

const frame = frameNs('525-line')

/** As much as a file can hold: many reads, in each the most cycles, samples everywhere, spacings from next to nothing on. */
const worst = (reads: number, cycles: number, fields: Partial<Title>): Title => {
  const maxNs = Math.floor((frame / reads) * (0.9 / (2 * cycles)))
  const levels = ['high', 'low'] as const
  const samples = Array.from({ length: 2 * cycles }, (_, k) => ({
    cycle: Math.floor(k / 2) + 1,
    level: levels[k % 2],
    pins: { 1: 'up' },
  }))
  return v.parse(TitleSchema, {
    format: 'ninepin-title',
    version: 2,
    name: 'Worst',
    notes: '',
    fragile: false,
    standard: '525-line',
    readOffsetsNs: Array.from({ length: reads }, (_, k) => Math.floor((k * frame) / reads)),
    readJitterNs: 0,
    clockPpm: 100,
    cyclesPerRead: cycles,
    edgeSpacingNs: { minNs: 100, maxNs },
    sampleAfterEdgeNs: { minNs: 0, maxNs: 94 },
    rest: 'low',
    drive: { kind: 'driven' },
    samples: samples,
    sixButtons: { kind: 'never' },
    takesOpposite: true,
    ...fields,
  })
}

const CYCLES = TITLE_LIMITS.cyclesPerRead
const READS = TITLE_LIMITS.readsPerFrame
const released = (minNs: number, maxNs: number): Partial<Title> => ({
  drive: { kind: 'released', riseNs: { minNs, maxNs } },
})

describe('the worst that a file can hold', () => {
  const again = { ...BUILT_IN_PROFILES['six-button'].chart, after: { kind: 'start-again' as const } }
  const profile = (idleResetNs: number): Profile => ({
    ...BUILT_IN_PROFILES['six-button'],
    chart: again,
    idleResetNs,
  })
  test.each([
    [
      'rises that are lost or not, and a reset that is later than a frame',
      worst(2, CYCLES, released(60_000, 1_000_000)),
      20_000_000,
    ],
    [
      'as many reads and cycles as there can be, and a reset within the read',
      worst(READS, CYCLES, {}),
      300_000,
    ],
    ['resets between any two edges', worst(READS, 3, { readJitterNs: 50_000 }), 10_000],
    ['a reset at the frame', worst(READS, 4, released(10_000, 400_000)), frame],
  ])('is followed to its end: %s', (_, title, idleResetNs) => {
    const { chart, ...times } = profile(idleResetNs)
    const exploration = exploreUpTo(5_000, title, chart, boxOf(times, title, REFERENCE_ADAPTER))
    expect(exploration?.samples.length).toBeGreaterThan(title.samples.length)
  })

  test('is united on the way, and then says that its trails may not lead there', () => {
    const title = worst(2, CYCLES, released(60_000, 1_000_000))
    const { chart, ...times } = profile(20_000_000)
    const { samples } = explore(title, chart, boxOf(times, title, REFERENCE_ADAPTER))
    expect(samples.some(({ isTrailSure }) => isTrailSure)).toBe(true)
    expect(samples.some(({ isTrailSure }) => !isTrailSure)).toBe(true)
  })
})
