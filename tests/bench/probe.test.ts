import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { isRight } from '../../src/bench/judgement.ts'
import { INPUTS, inputBit } from '../../src/port/pins.ts'
import type { InputMask } from '../../src/port/pins.ts'
import { readTitle } from '../../src/title/file.ts'
import { possibilitiesOf } from '../../src/title/possible.ts'
import { draws } from '../draws.ts'
import { chanceOf } from '../title/infer/capture-of.ts'
import { arbOpen } from './arbitrary-open.ts'
import { actsIn, MOST_QUESTIONS, probed, probedByPages } from './probe-player.ts'
import { OPEN_PATTERNS, SIX, expectNoContradiction, truthOf, verdictOf } from './probe-truth.ts'

/**
 * Titles that nobody has described, in front of probe profiles. What is true of a title answers: it is played by tests/bench/play-steps.ts, which is written
 * from READ.md alone and shares nothing with what asks.
 */

describe('probing a title', () => {
  test.each(OPEN_PATTERNS)('$id', ({ title }) => {
    if (possibilitiesOf(title) === null) return
    fc.assert(
      fc.property(fc.nat(1e6), (seed) => {
        const truth = truthOf(title, seed)
        const { found, answers, flashes } = probed(SIX, title, (question) =>
          actsIn(truth, question, chanceOf(seed)),
        )
        expect(flashes).toBeLessThanOrEqual(4)
        expect(answers.length).toBeLessThan(MOST_QUESTIONS)
        expectNoContradiction(found, truth)
      }),
      { numRuns: draws(5) },
    )
  })

  test('does not settle a sample for a part of what is left, where it is not known how six buttons are told', () => {
    const told = (low: (1 | 2 | 3 | 4)[]) => ({ kind: 'told', by: [{ sample: 'told', low }], holds: 'read' })
    const at = (select: string, ns: number) => ({ select, after: { minNs: ns, maxNs: ns } })
    const takes = (sample: object, more = {}) => ({ sample, after: { minNs: 800, maxNs: 800 }, ...more })
    const file = {
      format: 'ninepin-title',
      version: 3,
      name: 'Bell buoy',
      notes: '',
      fragile: false,
      port: 'select-line',
      standard: '625-line',
      clockPpm: 0,
      idle: 'high',
      rise: null,
      takesOpposite: true,
      sixButtons: { ...told([1, 2, 3, 4]), possible: [told([1, 2])] },
      modes: [
        {
          reads: [
            {
              starts: { kind: 'frame', offsetsNs: [31_000], late: { minNs: 0, maxNs: 0 } },
              steps: [
                at('low', 0),
                takes({ 1: 'up', 2: 'down', 6: 'a', 9: 'start' }, { name: 'told' }),
                at('high', 2_000),
                at('low', 2_000),
                takes(
                  {},
                  {
                    possible: [
                      { 1: 'up', 2: 'down' },
                      { 1: 'z', 2: 'y', 3: 'x', 4: 'mode' },
                    ],
                  },
                ),
                at('high', 2_000),
              ],
            },
          ],
        },
      ],
    }
    const read = readTitle(new TextEncoder().encode(JSON.stringify(file)))
    if (!read.ok) throw new Error(`${read.error.place}: ${read.error.message}`)
    // It takes the extra ones, which nothing that a player can hold brings to light.
    const { found } = probed(SIX, read.value, () => 0)
    expect(verdictOf(found).verdict).toBe('undecided')
    expect(JSON.stringify(found)).toContain('"z"')
  })

  test('of any shape leads to nothing that is not so', () => {
    const flashed = new Map<number, number>()
    let settled = 0
    let undecided = 0
    fc.assert(
      fc.property(arbOpen, fc.nat(1e6), (title, seed) => {
        if (possibilitiesOf(title) === null || verdictOf(title).verdict !== 'undecided') return
        const truth = truthOf(title, seed)
        undecided++
        const { found, flashes } = probed(SIX, title, (question) => actsIn(truth, question, chanceOf(seed)))
        flashed.set(flashes, (flashed.get(flashes) ?? 0) + 1)
        if (verdictOf(found).verdict !== 'undecided') settled++
        expectNoContradiction(found, truth)
      }),
      { numRuns: draws(200) },
    )
    console.log(
      'flashes of titles that were undecided',
      Object.fromEntries(flashed),
      `${settled} of ${undecided} settled`,
    )
    expect(Math.max(...flashed.keys())).toBeLessThanOrEqual(4)
  })

  test.each([
    ['question by question', probed],
    ['page by page', probedByPages],
  ])('one wrong answer in ten never makes it clean where it misreads, %s', (_, probedSo) => {
    let wrong = 0
    fc.assert(
      fc.property(
        fc.constantFrom(...OPEN_PATTERNS),
        fc.nat(1e6),
        fc.array(fc.nat(9), { minLength: 13, maxLength: 13 }),
        fc.array(fc.nat(11), { minLength: 13, maxLength: 13 }),
        ({ title }, seed, places, inputs) => {
          const truth = truthOf(title, seed)
          const { found } = probedSo(SIX, title, (question, k) => {
            const acts = actsIn(truth, question, chanceOf(seed))
            const ten = Math.floor(k / 10)
            if (k % 10 !== places[ten]) return acts
            wrong++
            return mistaken(acts, inputs[ten] as number)
          })
          if (isRight(verdictOf(found))) expect(isRight(verdictOf(truth))).toBe(true)
        },
      ),
      { numRuns: draws(200) },
    )
    expect(wrong).toBeGreaterThan(20)
  })
})

/** Nothing acts where something does, or something else does. */
const mistaken = (acts: InputMask, input: number): InputMask =>
  acts !== 0 && input < 6 ? 0 : acts ^ inputBit(INPUTS[input] ?? 'a')
