import fc from 'fast-check'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { layOutTitle } from '../../../src/title/steps/lay-out-title.ts'
import type { Title } from '../../../src/title/schema.ts'
import { titleOfShort } from '../../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from '../../bench/arbitrary-profile.ts'
import { arbReader, instants } from './arbitrary-pair.ts'
import type { DrawnPair } from './arbitrary-pair.ts'

/** A pair of which the title can be held up, beside the same title that nothing holds up. */
export interface HeldUpPair extends DrawnPair {
  readonly plain: DrawnPair
}

const six = BUILT_IN_PROFILES['six-button'].chart

/**
 * Idle resets a little longer than what lies between two rises of a read, or a little shorter than what lies between two reads: being held up
 * then brings a reset that was not to come, or takes one away that was.
 */
export const arbHeldUpPair: fc.Arbitrary<HeldUpPair> = fc
  .record({
    profile: arbTypicalProfile,
    short: arbReader('six', 'six', 'first', 'every', 'own'),
    adapter: arbAdapter,
    isSix: fc.constantFrom(true, true, true, false),
    isWithin: fc.boolean(),
    rise: fc.nat(99),
    spareNs: fc.integer({ min: -300, max: 4_000 }),
    moreNs: fc.integer({ min: -1_000, max: 6_000 }),
    times: fc.constantFrom(1, 1, 2, 3),
  })
  .map(({ profile, short, adapter, isSix, isWithin, rise, spareNs, moreNs, times }) => {
    const plain = stepByStep(titleOfShort(short))
    const byNs = Math.max(1, Math.ceil((spareNs + moreNs) / times))
    const title = withReads(plain, (read) => ({ ...read, stretch: { byNs, times } }))
    return { profile, adapter, plain, title, isSix, isWithin, rise, spareNs }
  })
  .filter(({ plain, title }) => layOutTitle(plain).ok && layOutTitle(title).ok)
  .map(({ profile, adapter, plain, title, isSix, isWithin, rise, spareNs }) => {
    const [soon, late] = [instants(plain, 'minNs'), instants(plain, 'maxNs')]
    const rises = late.flatMap(({ isRise }, k) => (isRise ? [k] : []))
    const from = rises[rise % (rises.length - 1)] ?? 0
    const to = rises[(rise % (rises.length - 1)) + 1] ?? 0
    const fromNs = late[from]?.atNs ?? 0
    const gapNs = isWithin
      ? (late[to]?.atNs ?? 0) - fromNs + spareNs
      : (soon[to]?.atNs ?? 0) - fromNs - spareNs
    const usual = {
      profile: { ...profile, ...(isSix && { chart: six }), idleResetNs: Math.max(2_000, gapNs) },
      adapter,
    }
    return { ...usual, title, plain: { ...usual, title: plain } }
  })

type Read = Title['modes'][number]['reads'][number]

const withReads = (title: Title, change: (read: Read) => Read): Title => ({
  ...title,
  modes: title.modes.map((mode) => ({ ...mode, reads: mode.reads.map(change) })),
})

/** About the same times, each counted from the step before it: what can be held up counts from nothing else. */
const stepByStep = (title: Title): Title =>
  withReads(title, (read) => ({
    ...read,
    steps: read.steps.map((step, k) => {
      const before = read.steps[k - 1]
      if ('repeat' in step || before === undefined || !('sample' in before)) return step
      const minNs = Math.max(1, step.after.minNs - before.after.maxNs)
      const maxNs = Math.max(minNs, step.after.maxNs - before.after.minNs)
      return { ...step, since: 'step', after: { minNs, maxNs } }
    }),
  }))
