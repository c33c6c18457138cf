import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { explain } from '../../src/bench/explain.ts'
import { judge } from '../../src/bench/judge.ts'
import { maskOf } from '../../src/port/pins.ts'
import type { ShortTitle } from '../../src/title/short-title.ts'
import { titleOfShort } from '../../src/title/title-of-short.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbShort } from './arbitrary-title.ts'
import { limits, play } from './play.ts'
import { drawsOf } from './witness-draws.ts'
import { wrongWith } from './watch.ts'
import { draws, often } from '../draws.ts'

const arbReader = arbShort.map((short): ShortTitle => ({ ...short, takesOpposite: true }))

describe('a misread is shown by a timing', () => {
  test('that lies inside the box and that an independent player misreads, too', () => {
    let shown = 0
    let onEdge = 0
    const causes = new Set<string>()
    fc.assert(
      fc.property(arbTypicalProfile, arbReader, arbAdapter, (profile, short, adapter) => {
        const title = titleOfShort(short)
        const { counterexample, marginNs } = judge(profile, title, { adapter, marginNs: 200 })
        const explanation = explain(profile, title, { adapter })
        if (counterexample === null) expect(explanation).toBeNull()
        // A sample at the very instant of a change may see either side of it.
        if (explanation === null || marginNs === 0) return
        if (explanation.witness.isOnEdge) {
          onEdge++
          return
        }
        const { witness, example } = explanation
        expect(example).toEqual(counterexample)
        // What is counted is what is written: each rise of a line at the time that its write tells.
        const risenNs = new Map(
          witness.reads.flatMap(({ writes }) => writes.map(({ atNs, risesNs }) => [atNs, risesNs ?? atNs])),
        )
        for (const { what, atNs, writtenNs } of witness.counted)
          if (what === 'rise') expect(risenNs.get(writtenNs ?? NaN)).toBe(atNs)
        const draws = drawsOf(witness, short, limits(profile, short, adapter))
        const { frame, read } = example.place
        const { rises, resetNs } = witness.before
        const reads = play(short, draws, frame, { rises, resetNs: resetNs ?? Infinity })
        const guilty = reads[(frame - 1) * short.readOffsetsNs.length + read - 1] ?? []
        // A belief is wrong beside that of another read, which one read cannot show.
        const isBeliefAlone = example.phantom.length === 0 && example.pins.join() === lowPins(short)
        if (isBeliefAlone) return
        shown++
        causes.add(example.cause)
        expect(wrongWith(profile, short, [guilty], maskOf(example.held)), example.cause).toBe(true)
      }),
      { numRuns: draws(1_000) },
    )
    expect(shown).toBeGreaterThan(often(100))
    expect(onEdge).toBeLessThan(shown / 5)
    expect([...causes].sort()).toEqual(['belief', 'count', 'settling', 'slow-rise'])
  })
})

const lowPins = ({ sixButtons }: ShortTitle): string =>
  sixButtons.kind === 'identified' ? sixButtons.lowPins.join() : ''
