import fc from 'fast-check'
import { expect, test } from 'vitest'
import { boxOf } from '../../src/bench/box.ts'
import { judge } from '../../src/bench/judge.ts'
import type { CabledAdapter } from '../../src/bench/judgement.ts'
import { INPUTS } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { Profile } from '../../src/profile/schema.ts'
import { draws, often } from '../draws.ts'
import { playSteps } from './play-steps.ts'
import { title } from './steps-titles.ts'

/**
 * Six buttons that two samples tell together, and presses that two samples have to show: both have to go wrong before the title does, so it
 * has to spare what the one has that has more. Held against a title that is played, with every reply that much later.
 */

const exactly = (ns: number) => ({ minNs: ns, maxNs: ns })
const adapter: CabledAdapter = {
  replyNs: { minNs: 40, maxNs: 100 },
  delayStretch: 0,
  idleResetNs: exactly(0),
  clockPpm: 0,
  cable: 'short',
}

/** Where neither Up and Down nor Left and Right reach the port together, nothing that is held looks like what the two samples tell. */
const three: Profile = {
  ...BUILT_IN_PROFILES['three-button'],
  opposite: { vertical: 'neutral', horizontal: 'neutral' },
}

/** A frame with two rises, a sample so long after each; what comes too early shows the low phase before it, in which pins 3 and 4 are low. */
const withSamples = (
  [first, second]: readonly [number, number],
  samples: readonly [Json, Json],
  last: Json | null,
  sixButtons: Json,
) =>
  title(
    'By two',
    [
      {
        starts: { kind: 'frame', offsetsNs: [250_000], late: exactly(0) },
        steps: [
          { select: 'low', after: exactly(0) },
          { select: 'high', after: exactly(20_000) },
          { ...samples[0], name: 'one', after: exactly(first) },
          { select: 'low', after: exactly(20_000) },
          { select: 'high', after: exactly(20_000) },
          { ...samples[1], name: 'two', after: exactly(second) },
          ...(last === null ? [] : [{ ...last, after: exactly(20_000) }]),
        ],
      },
    ],
    { sixButtons },
  )

type Json = Record<string, unknown>

const told = (holds: 'read' | 'onwards') => (apart: readonly [number, number]) =>
  withSamples(
    apart,
    [{ sample: {} }, { sample: {} }],
    { sample: { 6: 'z' }, when: 'six-buttons' },
    {
      kind: 'told',
      holds,
      by: [
        { sample: 'one', low: [3, 4] },
        { sample: 'two', low: [3, 4] },
      ],
    },
  )

/** Left is believed where both show it; a low phase holds pin 3 low. */
const agreed = (apart: readonly [number, number]) =>
  withSamples(
    apart,
    [
      { sample: { 3: { input: 'left', ifAgrees: 'two' } } },
      { sample: { 3: { input: 'left', ifAgrees: 'one' } } },
    ],
    null,
    { kind: 'never' },
  )

/** Whether the title gets something wrong in many plays, with whatever is held, where each reply takes up to so much longer. */
function goesWrong(one: ReturnType<typeof agreed>, laterNs: number, seed: number): boolean {
  const box = boxOf(three, one, adapter)
  const reply = { minNs: box.reply.minNs, maxNs: box.reply.maxNs + laterNs }
  const helds: Input[][] = [[], ...INPUTS.map((input) => [input])]
  let state = seed
  // As late as can be in one play of two; else anywhere (the numbers of Numerical Recipes, from memory).
  const next = (): number => (state = (state * 1_664_525 + 1_013_904_223) >>> 0) / 2 ** 32
  return helds.some((held) =>
    Array.from({ length: 6 }, (_, k) => k).some(
      (k) =>
        playSteps(
          one,
          three.chart,
          { ...box, reply },
          new Set(held),
          {
            draw: ({ minNs, maxNs }) =>
              k % 2 === 0 ? maxNs : minNs + Math.floor(next() * (maxNs - minNs + 1)),
            oneOf: (n) => Math.floor(next() * n),
          },
          4,
        ) !== null,
    ),
  )
}

test.each([
  ['a press that both have to show', agreed],
  ['six buttons that both tell, in each read', told('read')],
  ['six buttons that both tell, until they are told again', told('onwards')],
] as const)('%s: right up to the margin, and a misread is found 1 ns past it', (_, make) => {
  let first = 0
  let second = 0
  fc.assert(
    fc.property(
      fc.integer({ min: 120, max: 9_000 }),
      fc.integer({ min: 120, max: 9_000 }),
      fc.nat(),
      (p, q, seed) => {
        const one = make([p, q])
        const { verdict, marginNs } = judge(three, one, { adapter, marginNs: 0 })
        expect(verdict).toBe('clean')
        const spare = marginNs ?? NaN
        expect(spare).toBe(Math.max(p, q) - boxOf(three, one, adapter).reply.maxNs)
        expect(goesWrong(one, spare - 1, seed)).toBe(false)
        // A pin that has changed at the instant of the sample shows what it has changed to.
        expect(goesWrong(one, spare, seed)).toBe(false)
        expect(goesWrong(one, spare + 1, seed)).toBe(true)
        if (p > q) first++
        else second++
      },
    ),
    { numRuns: draws(200) },
  )
  expect(Math.min(first, second)).toBeGreaterThan(often(30))
})

test('where one of the two is wrong already, what the other has to spare', () => {
  for (const make of [agreed, told('read'), told('onwards')]) {
    const one = make([10, 700])
    const { marginNs } = judge(three, one, { adapter, marginNs: 0 })
    expect(marginNs).toBe(700 - boxOf(three, one, adapter).reply.maxNs)
    expect([goesWrong(one, marginNs ?? NaN, 1), goesWrong(one, (marginNs ?? NaN) + 1, 1)]).toEqual([
      false,
      true,
    ])
  }
})
