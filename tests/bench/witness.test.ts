import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explain } from '../../src/bench/explain.ts'
import { explore } from '../../src/bench/explore.ts'
import { judge } from '../../src/bench/judge.ts'
import type { Witness } from '../../src/bench/witness.ts'
import { maskOf } from '../../src/port/pins.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbTitle } from './arbitrary-title.ts'
import { limits, play } from './play.ts'
import type { Draws } from './play.ts'
import { wrongWith } from './watch.ts'

const arbReader = arbTitle.map((title): Title => ({ ...title, takesOpposite: true }))

/** The draws that play a witness again, each checked to lie within its range. */
function drawsOf(witness: Witness, title: Title, within: ReturnType<typeof limits>): Draws {
  const inside = ({ minNs, maxNs }: { minNs: number; maxNs: number }, ns: number, what: string): number => {
    if (ns < minNs || ns > maxNs) expect.fail(`${what} of ${ns} ns is outside of ${minNs}..${maxNs}`)
    return ns
  }
  const { reads, counted } = witness
  const starts = reads.map(({ placeNs, startNs }) => inside(within.readStart, startNs - placeNs, 'start'))
  const nexts = reads.slice(1).map(({ placeNs }, k) => {
    const range = within.toNextRead[k % title.readOffsetsNs.length]
    if (range === undefined) throw new Error('no such read')
    return inside(range, placeNs - (reads[k]?.placeNs ?? 0), 'way to the next read')
  })
  // Phases without a write have no time of their own but that of the read's start and the writes and samples after it.
  const opens = reads.map(({ startNs, writes }) => [
    ...(title.rest === 'high' ? [startNs] : []),
    ...writes.map(({ atNs }) => atNs),
  ])
  const spacings = opens.flatMap((at) =>
    at.slice(1).map((ns, k) => inside(within.spacing, ns - (at[k] ?? 0), 'spacing')),
  )
  const samples = reads.flatMap(({ samples }, read) =>
    samples.map(({ atNs, phase }) => inside(within.sample, atNs - (opens[read]?.[phase] ?? 0), 'sample')),
  )
  const rises = reads.flatMap(({ writes }) =>
    writes
      .filter(({ level }) => level === 'high')
      .map(({ atNs, risesNs }) => inside(within.rise, (risesNs ?? atNs) - atNs, 'rise')),
  )
  const replies = counted.map(({ atNs, shownNs }) => inside(within.reply, shownNs - atNs, 'reply'))
  const idles = counted.flatMap(({ atNs, resetsNs }) =>
    resetsNs === null ? [] : [inside(within.idle, resetsNs - atNs, 'reset')],
  )
  // What comes after the witness may take the least time that it can.
  return {
    readStart: () => starts.shift() ?? within.readStart.minNs,
    toNextRead: (read) => nexts.shift() ?? within.toNextRead[read]?.minNs ?? 0,
    spacing: () => spacings.shift() ?? within.spacing.minNs,
    sample: () => samples.shift() ?? within.sample.minNs,
    rise: () => rises.shift() ?? within.rise.minNs,
    reply: () => replies.shift() ?? within.reply.minNs,
    idle: () => idles.shift() ?? within.idle.minNs,
  }
}

describe('a misread is shown by a timing', () => {
  test('that lies inside the box and that an independent player misreads, too', () => {
    let shown = 0
    let onEdge = 0
    let undrawn = 0
    const causes = new Set<string>()
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, (profile, title, adapter) => {
        const { counterexample, marginNs } = judge(profile, title, { adapter, marginNs: 200 })
        const explanation = explain(profile, title, { adapter })
        if (counterexample === null) expect(explanation).toBeNull()
        // Where reads can go in so many ways that they were united, and only there, none is kept to be drawn.
        else if (explanation === null) {
          undrawn++
          const { samples } = explore(title, profile.chart, boxOf(profile, title, adapter))
          expect(samples.some(({ isTrailSure }) => !isTrailSure)).toBe(true)
        }
        // A sample at the very instant of a change may see either side of it.
        if (explanation === null || marginNs === 0) return
        if (explanation.witness.isOnEdge) {
          onEdge++
          return
        }
        const { witness, example } = explanation
        expect(example).toEqual(counterexample)
        const draws = drawsOf(witness, title, limits(profile, title, adapter))
        const { frame, read } = example.place
        const reads = play(title, draws, frame)
        const guilty = reads[(frame - 1) * title.readOffsetsNs.length + read - 1] ?? []
        // A belief is wrong beside that of another read, which one read cannot show.
        const isBeliefAlone = example.phantom.length === 0 && example.pins.join() === lowPins(title)
        if (isBeliefAlone) return
        shown++
        causes.add(example.cause)
        expect(wrongWith(profile, title, [guilty], maskOf(example.held)), example.cause).toBe(true)
      }),
      { numRuns: 1_000 },
    )
    expect(shown).toBeGreaterThan(100)
    expect(onEdge).toBeLessThan(shown / 5)
    expect(undrawn).toBeLessThan(shown / 20)
    expect([...causes].sort()).toEqual(['belief', 'count', 'settling', 'slow-rise'])
  })
})

const lowPins = ({ sixButtons }: Title): string =>
  sixButtons.kind === 'identified' ? sixButtons.lowPins.join() : ''
