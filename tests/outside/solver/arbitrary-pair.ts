import fc from 'fast-check'
import type { CabledAdapter } from '../../../src/bench/judgement.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { scheduleOf } from '../../../src/title/schedule.ts'
import type { Title } from '../../../src/title/schema.ts'
import type { ShortSample, ShortTitle } from '../../../src/title/short-title.ts'
import { titleOfShort } from '../../../src/title/title-of-short.ts'
import { partsOf } from '../../../src/title/ways-of-reading.ts'
import type { WayOfReading } from '../../../src/title/ways-of-reading.ts'
import { arbAdapter, arbTypicalProfile } from '../../bench/arbitrary-profile.ts'
import { arbShort } from '../../bench/arbitrary-title.ts'

export interface DrawnPair {
  readonly profile: Profile
  readonly title: Title
  readonly adapter: CabledAdapter
}

/** Titles of few edges: what the solver takes grows with their number. */
const arbFew = (edges: number): fc.Arbitrary<ShortTitle> =>
  arbShort
    .filter(({ cyclesPerRead, readOffsetsNs }) => cyclesPerRead * readOffsetsNs.length <= edges)
    .map((title) => ({ ...title, takesOpposite: true }))

/** Any title of few edges in front of any profile; most of them misread. */
export const arbAnyPair: fc.Arbitrary<DrawnPair> = fc.record({
  profile: arbTypicalProfile,
  title: arbFew(3).map(titleOfShort),
  adapter: arbAdapter,
})

/** How a title reads, when it samples and how slowly its line rises, so that many read right and some only just. */
export const arbReader = (...ways: readonly [WayOfReading, ...WayOfReading[]]): fc.Arbitrary<ShortTitle> =>
  fc
    .record({
      title: arbFew(4),
      reads: fc.constantFrom(...ways),
      sampleAt: fc.option(fc.double({ min: 0.3, max: 0.7, noNaN: true }), { freq: 5 }),
      riseAt: fc.double({ min: 0, max: 0.95, noNaN: true }),
      isExact: fc.boolean(),
      /** Whether the high phases, and the first cycle, are left out where that leaves any sample. */
      leavesOut: fc.record({ high: fc.boolean(), first: fc.boolean() }),
    })
    .map(({ title, reads, sampleAt, riseAt, isExact, leavesOut }): ShortTitle => {
      const { minNs } = title.edgeSpacingNs
      const at = (share: number): { minNs: number; maxNs: number } => ({
        minNs: Math.floor(minNs * share * 0.95),
        maxNs: Math.floor(minNs * share),
      })
      const parts = reads === 'own' ? title : partsOf(reads, title)
      const fits = parts.cyclesPerRead <= title.cyclesPerRead ? parts : partsOf('first', title)
      const some = (
        samples: ShortTitle['samples'],
        isLeftOut: boolean,
        what: (one: ShortSample) => boolean,
      ) => (isLeftOut && samples.some(what) ? samples.filter(what) : samples)
      const late = some(fits.samples, leavesOut.first, ({ cycle }) => cycle > 1)
      const { drive } = title
      return {
        ...title,
        ...fits,
        ...(isExact ? { edgeSpacingNs: { minNs, maxNs: minNs }, readJitterNs: 0, clockPpm: 0 } : {}),
        samples: some(late, leavesOut.high, ({ level }) => level === 'low'),
        sampleAfterEdgeNs: sampleAt === null ? title.sampleAfterEdgeNs : at(sampleAt),
        drive: drive.kind === 'driven' ? drive : { kind: 'released', riseNs: at(riseAt) },
      }
    })

/** When the nodes of the first two frames come, everything as soon or as late as it can. */
export function instants(
  title: Title,
  end: 'minNs' | 'maxNs',
): { readonly atNs: number; readonly isRise: boolean }[] {
  const { nodes } = scheduleOf(title)
  let [placeNs, atNs] = [0, 0]
  return [...nodes, ...nodes].map(({ writes, next }) => {
    const here = { atNs, isRise: writes === 'high' || writes === 'release' }
    const way = next[0]
    if (way?.kind === 'place') atNs = placeNs += way.lasts[end]
    else atNs += way?.lasts[end] ?? 0
    return here
  })
}

const six = BUILT_IN_PROFILES['six-button'].chart

/** Idle resets that come about when the title does something, and counts that come round with its reads. */
export const arbNearPair: fc.Arbitrary<DrawnPair> = fc
  .record({
    profile: arbTypicalProfile,
    title: arbReader('own', 'first', 'first', 'every', 'six'),
    adapter: arbAdapter,
    reset: fc.option(
      fc.record({
        rise: fc.nat(99),
        end: fc.nat(99),
        isRise: fc.constantFrom(true, true, false),
        offNs: fc.integer({ min: -1_500, max: 1_500 }),
      }),
      { freq: 6 },
    ),
    comesRound: fc.constantFrom(true, false, false),
  })
  .map(({ profile, title: short, adapter, reset, comesRound }): DrawnPair => {
    const title = titleOfShort(short)
    const nodes = instants(title, 'minNs')
    const { rise = 0, end = 0, isRise = false, offNs = 0 } = reset ?? {}
    const rises = nodes.slice(0, nodes.length / 2).filter((node) => node.isRise)
    const from = rises[rise % rises.length]?.atNs ?? 0
    const ends = nodes.filter((node) => node.atNs > from && (node.isRise || !isRise))
    const to = ends[end % ends.length]?.atNs ?? 0
    const nearNs = reset === null ? profile.idleResetNs : Math.max(2_000, to - from + offNs)
    const rounds = short.cyclesPerRead * short.readOffsetsNs.length
    const chart = comesRound
      ? ({ cycles: six.cycles.slice(0, rounds), after: { kind: 'start-again' } } as const)
      : profile.chart
    return { profile: { ...profile, chart, idleResetNs: nearNs }, title, adapter }
  })
