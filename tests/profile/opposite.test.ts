import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { INPUTS, inputsIn, maskOf } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { AXES, applyOpposite } from '../../src/profile/opposite.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { ProfileRunner } from '../../src/profile/run-profile.ts'
import { OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { OppositePolicy } from '../../src/profile/schema.ts'
import { arbInputMask } from '../arbitraries.ts'

const runner = (vertical: OppositePolicy, horizontal: OppositePolicy = vertical) =>
  new ProfileRunner({ ...BUILT_IN_PROFILES['three-button'], opposite: { vertical, horizontal } })

/** What passes after each of these was held in turn. */
const passing = (policy: OppositePolicy, ...held: Input[][]): Input[][] => {
  const run = runner(policy)
  return held.map((inputs) => {
    run.ask(maskOf(inputs))
    return inputsIn(run.inputs)
  })
}

const U: Input[] = ['up']
const D: Input[] = ['down']
const UD: Input[] = ['up', 'down']
const L: Input[] = ['left']
const R: Input[] = ['right']
const LR: Input[] = ['left', 'right']

describe('both of a pair held', () => {
  it.each<[string, Input[][], Record<OppositePolicy, Input[][]>]>([
    ['up, then down', [U, UD], { 'as-held': [U, UD], neutral: [U, []], first: [U, U], last: [U, D] }],
    ['down, then up', [D, UD], { 'as-held': [D, UD], neutral: [D, []], first: [D, D], last: [D, U] }],
    [
      'both at once: up counts as before down',
      [UD],
      { 'as-held': [UD], neutral: [[]], first: [U], last: [D] },
    ],
    [
      'both at once: left counts as before right',
      [LR],
      { 'as-held': [LR], neutral: [[]], first: [L], last: [R] },
    ],
    ['right, then left', [R, LR], { 'as-held': [R, LR], neutral: [R, []], first: [R, R], last: [R, L] }],
    [
      'the first let go and pressed again is the second',
      [U, UD, D, UD],
      { 'as-held': [U, UD, D, UD], neutral: [U, [], D, []], first: [U, U, D, D], last: [U, D, D, U] },
    ],
    [
      'the second let go and pressed again is the second still',
      [D, UD, D, UD],
      { 'as-held': [D, UD, D, UD], neutral: [D, [], D, []], first: [D, D, D, D], last: [D, U, D, U] },
    ],
    [
      'let go together, all starts anew',
      [D, UD, [], UD],
      { 'as-held': [D, UD, [], UD], neutral: [D, [], [], []], first: [D, D, [], U], last: [D, U, [], D] },
    ],
    [
      'from one to the other in one step there never are two',
      [U, D, U],
      { 'as-held': [U, D, U], neutral: [U, D, U], first: [U, D, U], last: [U, D, U] },
    ],
  ])('%s', (_, held, expected) => {
    for (const policy of OPPOSITE_POLICIES) expect(passing(policy, ...held), policy).toEqual(expected[policy])
  })

  it('other inputs that come meanwhile change nothing', () => {
    const all = passing('first', D, [...UD, 'a'], [...UD, 'left', 'start'])
    expect(all).toEqual([D, ['down', 'a'], ['down', 'left', 'start']])
  })

  it('each axis has a policy of its own', () => {
    const run = runner('neutral', 'last')
    run.ask(maskOf(['up', 'left']))
    run.ask(maskOf([...UD, ...LR, 'c']))
    expect(inputsIn(run.inputs)).toEqual(['right', 'c'])
  })
})

describe('laws', () => {
  const PAIRS = Object.values(AXES)
  const both = (mask: number): number => PAIRS.filter(([a, b]) => (mask & (a | b)) === (a | b)).length
  const arbMoves = fc.array(arbInputMask, { minLength: 1, maxLength: 20 })
  const arbPolicy = fc.constantFrom(...OPPOSITE_POLICIES)

  it('nothing passes that is not held, and buttons always pass', () => {
    const directions = maskOf(['up', 'down', 'left', 'right'])
    fc.assert(
      fc.property(arbPolicy, arbMoves, (policy, moves) => {
        const run = runner(policy)
        for (const held of moves) {
          run.ask(held)
          expect(run.inputs & ~held).toBe(0)
          expect(run.inputs & ~directions).toBe(held & ~directions)
        }
      }),
    )
  })

  it('but for as held, never both; and with first or last never none', () => {
    fc.assert(
      fc.property(arbPolicy, arbMoves, (policy, moves) => {
        const run = runner(policy)
        for (const held of moves) {
          run.ask(held)
          if (policy === 'as-held') expect(run.inputs).toBe(held)
          else expect(both(run.inputs)).toBe(0)
          for (const [a, b] of PAIRS) {
            const passes = run.inputs & (a | b)
            if (policy === 'first' || policy === 'last') expect(passes !== 0).toBe((held & (a | b)) !== 0)
          }
        }
      }),
    )
  })

  it('first and last are each other’s opposite while both are held', () => {
    fc.assert(
      fc.property(arbMoves, (moves) => {
        const first = runner('first')
        const last = runner('last')
        for (const held of moves) {
          first.ask(held)
          last.ask(held)
          for (const [a, b] of PAIRS) {
            if ((held & (a | b)) !== (a | b)) continue
            expect((first.inputs ^ last.inputs) & (a | b)).toBe(a | b)
          }
        }
      }),
    )
  })

  it('asking for the same again changes nothing', () => {
    fc.assert(
      fc.property(arbPolicy, arbMoves, (policy, moves) => {
        const once = runner(policy)
        const twice = runner(policy)
        for (const held of moves) {
          once.ask(held)
          twice.ask(held)
          twice.ask(held)
          expect(twice.inputs).toBe(once.inputs)
        }
      }),
    )
  })

  it('a pair of which one is held passes under every policy', () => {
    fc.assert(
      fc.property(arbPolicy, arbInputMask, (policy, held) => {
        for (const pair of PAIRS) {
          if ((held & (pair[0] | pair[1])) === (pair[0] | pair[1])) continue
          expect(applyOpposite(policy, pair, held, 0)).toBe(held)
        }
      }),
    )
  })
})

it('the pairs are up and down, left and right', () => {
  expect(PAIRS_BY_NAME).toEqual({ vertical: ['up', 'down'], horizontal: ['left', 'right'] })
})
const PAIRS_BY_NAME = Object.fromEntries(
  Object.entries(AXES).map(([axis, pair]) => [axis, pair.map((bit) => INPUTS[Math.log2(bit)])]),
)
