import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explored } from '../../src/bench/explored.ts'
import { levelOf, rowOf } from '../../src/bench/reach/counting.ts'
import type { SampledReply } from '../../src/bench/reach/meets.ts'
import { witnessOf } from '../../src/bench/witness.ts'
import type { Chart } from '../../src/port/chart.ts'
import { IDENTIFIES, scheduleOf } from '../../src/title/schedule.ts'
import type { Title } from '../../src/title/schema.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { drawsFrom, limits, play } from './play.ts'
import { shortSamples } from './short-titles.ts'
import type { Seen } from './watch.ts'
import { drawsOf } from './witness-draws.ts'
import { draws, often } from '../draws.ts'

/** The row of the chart that answers after so many rises, counted as the port's facts say. */
const rowAfter = ({ cycles, after }: Chart, rises: number): number =>
  after.kind === 'stay' ? Math.min(rises, cycles.length) : rises % cycles.length

/** What the samples of a read meet, in the words of the player: for each, with what the identification met where it matters. */
function metIn(title: ShortTitle, chart: Chart, read: number, seen: readonly Seen[]): string[] {
  const said = ({ rises, level }: Seen): string => `${rowAfter(chart, rises)} ${level}`
  const identified = seen.find(({ index }) => index === 'identify')
  return seen.map((one) => {
    const waits = one.index !== 'identify' && title.samples[one.index]?.when === 'six-buttons'
    return `${read} ${one.index} ${said(one)} ${waits && identified ? said(identified) : ''}`
  })
}

/** The same, in the words of the bench. */
function metBy(title: Title, short: ShortTitle, { node, sample, code, identified }: SampledReply): string[] {
  const said = (met: number): string => `${rowOf(met)} ${levelOf(met)}`
  const read = scheduleOf(title).nodes[node]?.read ?? 0
  const indices = shortSamples(title, short)
  return sample.uses.flatMap((use) => {
    const index = use === IDENTIFIES ? 'identify' : (indices[use] ?? null)
    if (index === null) return []
    const waits =
      index !== 'identify' &&
      short.samples[index]?.when === 'six-buttons' &&
      short.sixButtons.kind === 'identified'
    return [`${read} ${index} ${said(code)} ${waits && identified !== null ? said(identified) : ''}`]
  })
}

describe('what samples can meet', () => {
  test('is all that random timings meet, and each is met in the timing that is given for it', () => {
    let confirmed = 0
    let onEdge = 0
    let played = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbShort, arbAdapter, fc.nat(), (profile, short, adapter, seed) => {
        const { chart } = profile
        const title = titleOfShort(short)
        const { reach, samples, isExact } = explored(title, chart, boxOf(profile, title, adapter))
        expect(isExact).toBe(true)
        const within = limits(profile, short, adapter)
        const can = samples.filter(({ awayNs }) => awayNs === 0)
        const reachable = new Set(can.flatMap((one) => metBy(title, short, one)))
        const reads = short.readOffsetsNs.length
        for (let k = 0; k < 6; k++) {
          const draws = drawsFrom(within, seed + k * 7919, (k % 3) / 2)
          play(short, draws, 5).forEach((seen, at) => {
            played++
            for (const met of metIn(short, chart, at % reads, seen))
              if (!reachable.has(met)) expect.fail(`a timing meets ${met}, which is said not to be possible`)
          })
        }
        for (const one of can) {
          const witness = witnessOf(reach, one)
          if (witness.isOnEdge) {
            onEdge++
            continue
          }
          const frames = one.frame + 1
          const all = play(short, drawsOf(witness, short, within), frames)
          const at = witness.reads.length - 1
          expect(Math.floor(at / reads)).toBe(one.frame)
          const met = new Set(metIn(short, chart, at % reads, all[at] ?? []))
          for (const said of metBy(title, short, one))
            if (!met.has(said)) expect.fail(`${said} is not met in its own timing`)
          confirmed++
        }
      }),
      { numRuns: draws(400) },
    )
    expect(confirmed).toBeGreaterThan(often(1_500))
    expect(onEdge).toBeLessThan(confirmed / 10)
    expect(played).toBeGreaterThan(often(5_000))
  })
})
