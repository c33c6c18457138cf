import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { explain } from '../../src/bench/explain.ts'
import { judge } from '../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../src/bench/stated.ts'
import { frameNs } from '../../src/port/clocks.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import type { RangeNs } from '../../src/port/range.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import type { Title } from '../../src/title/schema.ts'
import { arbAdapter, arbTypicalProfile } from './arbitrary-profile.ts'
import { arbSteps, arbUsualSteps } from './arbitrary-steps.ts'
import { playSteps } from './play-steps.ts'
import type { Chance } from './play-steps.ts'
import { CASES } from './steps-titles.ts'
import { draws, often } from '../draws.ts'

const options = { adapter: REFERENCE_ADAPTER, marginNs: 0 }

/** A plain generator, so that a seed says all: xorshift of 32 bits (from memory). */
function chanceFrom(seed: number, extremes: number): Chance {
  let state = (seed * 2_654_435_761 + 1) >>> 0 || 1
  const next = (): number => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    state >>>= 0
    return state / 2 ** 32
  }
  return {
    draw: ({ minNs, maxNs }: RangeNs) => {
      if (next() < extremes) return next() < 0.5 ? minNs : maxNs
      return minNs + Math.floor(next() * (maxNs - minNs + 1))
    },
    oneOf: (n) => Math.floor(next() * n),
  }
}

const PADS: readonly (readonly ['three' | 'six', Profile])[] = [
  ['three', BUILT_IN_PROFILES['three-button']],
  ['six', BUILT_IN_PROFILES['six-button']],
]

/** All combinations that the profile lets through, in an order that shows much soon. */
function combinations({ opposite }: Profile, n: number, seed: number): ReadonlySet<Input>[] {
  const of = (mask: number): Set<Input> => new Set(INPUTS.filter((_, k) => (mask >> k) & 1))
  const few = [0, ...INPUTS.map((_, k) => 1 << k), 0b11, 0b1100, 0b1111, 0b1111_0000_0000, 4095]
  const rest = Array.from({ length: n }, (_, k) => ((seed + k) * 2_654_435_761) % 4096)
  const passes = (held: ReadonlySet<Input>): boolean =>
    !(opposite.vertical !== 'as-held' && held.has('up') && held.has('down')) &&
    !(opposite.horizontal !== 'as-held' && held.has('left') && held.has('right'))
  return [...few, ...rest].map(of).filter(passes)
}

describe.each(CASES)('$title.name', (one) => {
  test.each(PADS)('in front of a pad with %s buttons', (pad, profile) => {
    const { title } = one
    const judgement = judge(profile, title, options)
    const box = boxOf(profile, title, REFERENCE_ADAPTER)
    expect(judgement.verdict === 'misread' ? 'wrong' : 'right', judgement.reason).toBe(one[pad])
    // A count left over from before power-on is not played here.
    const isOfBefore = judgement.counterexample !== null && judgement.findings[0]?.kind === 'left-over'
    // A read can come once in so many frames.
    const rare = title.modes.some((mode) =>
      mode.reads.some(({ starts }) => starts.kind === 'frame' && starts.everyFrames > 8),
    )
    const reads = rare ? 70 : 16
    let wrong = 0
    let played = 0
    combinations(profile, 12, 7).forEach((held, k) => {
      for (let n = 0; n < 2; n++) {
        played++
        const chance = chanceFrom(k * 97 + n, (n % 3) / 2)
        const mistake = playSteps(title, profile.chart, box, held, chance, reads)
        if (mistake === null) continue
        wrong++
        if (one[pad] === 'right')
          expect.fail(`${[...held].join(' ') || 'nothing'} held: ${JSON.stringify(mistake)}`)
      }
    })
    expect(played).toBeGreaterThan(30)
    if (one[pad] === 'wrong' && !isOfBefore) expect(wrong).toBeGreaterThan(0)
  })
})

describe('titles of every shape', () => {
  test('that are judged right are seen right in every timing that is played, with whatever is held', () => {
    const kinds = { right: 0, wrong: 0, confirmed: 0 }
    fc.assert(
      fc.property(arbTypicalProfile, arbSteps, arbAdapter, fc.nat(), (profile, title, adapter, seed) => {
        const { verdict, findings } = judge(profile, title, { adapter, marginNs: 0 })
        const isRight = verdict !== 'misread'
        if (!isRight && findings[0]?.kind === 'left-over') return
        const box = boxOf(profile, title, adapter)
        let mistakes = 0
        combinations(profile, 12, seed).forEach((held, k) => {
          const chance = chanceFrom(seed + k * 7919, (k % 3) / 2)
          const mistake = playSteps(title, profile.chart, box, held, chance, 24)
          if (mistake === null) return
          mistakes++
          if (isRight) expect.fail(`${[...held].join(' ') || 'nothing'} held: ${JSON.stringify(mistake)}`)
        })
        kinds[isRight ? 'right' : 'wrong']++
        if (mistakes > 0) kinds.confirmed++
      }),
      { numRuns: draws(300) },
    )
    // Some 25 of 300 are right on the average.
    expect(Math.min(kinds.right, kinds.confirmed), JSON.stringify(kinds)).toBeGreaterThan(often(5))
  })

  test('whose first mode comes once are played to every end of it', () => {
    let right = 0
    let wrong = 0
    let played = 0
    const arbPad = fc.oneof(fc.constantFrom(...PADS.map(([, profile]) => profile)), arbTypicalProfile)
    fc.assert(
      fc.property(arbPad, arbUsualSteps, arbAdapter, fc.nat(), (profile, title, adapter, seed) => {
        const [first] = title.modes
        const hasManyEnds = first?.reads.some(
          ({ starts }) => starts.kind === 'frame' && starts.everyFrames > 1,
        )
        if (!first?.once || !hasManyEnds) return
        const { verdict, findings } = judge(profile, title, { adapter, marginNs: 0 })
        const isRight = verdict !== 'misread'
        if (!isRight && findings[0]?.kind === 'left-over') return
        const box = boxOf(profile, title, adapter)
        let mistakes = 0
        combinations(profile, 6, seed).forEach((held, k) => {
          for (let n = 0; n < 4; n++) {
            const chance = chanceFrom(seed + k * 7919 + n * 31, (k % 3) / 2)
            const mistake = playSteps(title, profile.chart, box, held, chance, 24)
            played++
            if (mistake === null) continue
            mistakes++
            if (isRight) expect.fail(`${[...held].join(' ') || 'nothing'} held: ${JSON.stringify(mistake)}`)
          }
        })
        if (isRight) right++
        else if (mistakes > 0) wrong++
      }),
      { numRuns: draws(4_000) },
    )
    // Some 60 of 4 000 are right on the average, and some 160 are seen to be wrong.
    expect(Math.min(right, wrong), `${right} right, ${wrong} wrong, ${played} plays`).toBeGreaterThan(
      often(8),
    )
  })

  test('that are misread are told in the frame in which the timing that is shown comes to it', () => {
    let asked = 0
    let later = 0
    fc.assert(
      fc.property(arbTypicalProfile, arbSteps, arbAdapter, (profile, title, adapter) => {
        const due = dueReads(title)
        const shown = due && explain(profile, title, { adapter })
        if (!shown) return
        const { place } = shown.example
        const first =
          Array.from({ length: 64 }, (_, frame) => frame).find((frame) => due(frame).length > 0) ?? 0
        const frames = place.frame - 1
        const offsetNs = due(first + frames)[place.read - 1]
        if (offsetNs === undefined)
          expect.fail(`nothing is read in frame ${place.frame} as read ${place.read}`)
        const placeNs = frames * frameNs(title.standard) + offsetNs - (due(first)[0] ?? 0)
        const { reads } = shown.witness
        const offNs = (placeNs * title.clockPpm) / 1e6 + reads.length
        expect(Math.abs((reads.at(-1)?.placeNs ?? NaN) - placeNs)).toBeLessThanOrEqual(offNs)
        asked++
        if (frames > 0) later++
      }),
      { numRuns: draws(1_000) },
    )
    expect(Math.min(asked - later, later)).toBeGreaterThan(often(8))
  })
})

/** When the reads of a frame begin, from its start; `null` for titles with several modes, or with reads that no frame ties. */
function dueReads({ modes }: Title): ((frame: number) => number[]) | null {
  const [only, more] = modes
  if (!only || more || only.reads.some(({ starts }) => starts.kind === 'interval')) return null
  return (frame) =>
    only.reads
      .flatMap(({ starts }) =>
        starts.kind === 'frame' && frame % starts.everyFrames === starts.inFrame ? starts.offsetsNs : [],
      )
      .sort((p, q) => p - q)
}
