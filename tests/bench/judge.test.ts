import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { judge } from '../../src/bench/judge.ts'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { drawsFrom, limits, play } from './play.ts'
import { combinations, wrongWith } from './watch.ts'
import type { Seen } from './watch.ts'
import { draws, often } from '../draws.ts'

const FRAMES = 8

/** The title copes with everything, so that only what it sees counts. */
const arbReader = arbShort.map((short): ShortTitle => ({ ...short, takesOpposite: true }))

/** Reads of so many random timings, each kind of read once: what must not contradict the bench. */
const randomReads = (
  profile: Profile,
  short: ShortTitle,
  adapter: CabledAdapter,
  seed: number,
  timings: number,
) => {
  const within = limits(profile, short, adapter)
  const reads = new Map<string, Seen[]>()
  for (let k = 0; k < timings; k++) {
    const draws = drawsFrom(within, seed + k * 7919, (k % 4) / 3)
    for (const read of play(short, draws, FRAMES)) reads.set(JSON.stringify(read), read)
  }
  return [...reads.values()]
}

describe('the bench against random timings inside the box', () => {
  test('calls nothing clean in which some timing and some combination is misread', () => {
    let misreads = 0
    let cleans = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, fc.nat(), (profile, short, adapter, seed) => {
        const judgement = judge(profile, titleOfShort(short), { adapter, marginNs: 200 })
        if (judgement.verdict === 'misread') {
          misreads++
          return
        }
        cleans++
        const reads = randomReads(profile, short, adapter, seed, 24)
        for (const held of combinations(profile)) {
          if (wrongWith(profile, short, reads, held))
            expect.fail(`${judgement.reason} But ${held} is misread`)
        }
      }),
      { numRuns: draws(500) },
    )
    expect(Math.min(misreads, cleans)).toBeGreaterThan(often(40))
  })

  test('finds no smaller combination by trying them all', () => {
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, fc.nat(), (profile, short, adapter, seed) => {
        const { counterexample } = judge(profile, titleOfShort(short), { adapter, marginNs: 200 })
        if (counterexample === null) return
        const reads = randomReads(profile, short, adapter, seed, 8)
        const count = (mask: number) => mask.toString(2).replaceAll('0', '').length
        for (const held of combinations(profile)) {
          if (count(held) < counterexample.held.length)
            expect(wrongWith(profile, short, reads, held)).toBe(false)
        }
      }),
      { numRuns: draws(150) },
    )
  })

  test('nothing goes wrong while replies and resets move by less than the margin', () => {
    let tried = 0
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbReader,
        arbAdapter,
        fc.nat(),
        fc.boolean(),
        (profile, short, adapter, by, later) => {
          const title = titleOfShort(short)
          const { marginNs } = judge(profile, title, { adapter, marginNs: 200 })
          if (marginNs === null || marginNs <= 1) return
          const step = (1 + (by % Math.min(marginNs - 1, 5_000))) * (later ? 1 : -1)
          const shift = ({ minNs, maxNs }: { minNs: number; maxNs: number }) => ({
            minNs: Math.max(-9_000, minNs + step),
            maxNs: Math.max(-9_000, maxNs + step),
          })
          const replies = shift(adapter.replyNs)
          if (replies.minNs >= 0) {
            // What is counted stays where it was: a reset is stated as it shows, a reply after it.
            const { minNs, maxNs } = adapter.idleResetNs
            const idleResetNs = { minNs: minNs + step, maxNs }
            const moved = { ...adapter, replyNs: replies, idleResetNs }
            const later = judge(profile, title, { adapter: moved, marginNs: 200 })
            expect(later.verdict, later.reason).not.toBe('misread')
            tried++
          }
          const other = judge(profile, title, {
            adapter: { ...adapter, idleResetNs: shift(adapter.idleResetNs) },
            marginNs: 200,
          })
          expect(other.verdict, other.reason).not.toBe('misread')
        },
      ),
      { numRuns: draws(1_500) },
    )
    expect(tried).toBeGreaterThan(often(50))
  })
})

describe('verdict', () => {
  test('is settled by whole nanoseconds alone, whatever the title is called', () => {
    fc.assert(
      fc.property(
        arbTypicalProfile,
        arbReader,
        arbAdapter,
        fc.integer({ min: 1, max: 3_000 }),
        (profile, short, adapter, asked) => {
          const { verdict, marginNs } = judge(profile, titleOfShort({ ...short, fragile: true }), {
            adapter,
            marginNs: asked,
          })
          if (marginNs !== null) expect(Number.isInteger(marginNs)).toBe(true)
          const spareNs = marginNs ?? Infinity
          expect(verdict).toBe(spareNs <= 0 ? 'misread' : spareNs < asked ? 'tight' : 'clean')
        },
      ),
      { numRuns: draws(300) },
    )
  })
})
