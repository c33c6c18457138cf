import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask, controlsIn } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import { INPUTS, inputBit, inputsIn, maskOf } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { chordReach } from '../../src/profile/chord-reach.ts'
import { conflictsIn } from '../../src/profile/conflicts.ts'
import { Reachability } from '../../src/profile/reach.ts'
import type { WayToPress } from '../../src/profile/reach.ts'
import { ControlsRunner } from '../../src/profile/run-controls.ts'
import { LIMITS, OPPOSITE_POLICIES } from '../../src/profile/schema.ts'
import type { Chord, Layer, Profile } from '../../src/profile/schema.ts'
import { draws, often } from '../draws.ts'

const SIX = BUILT_IN_PROFILES['six-button']
const THREE = BUILT_IN_PROFILES['three-button']

const WORDS = { input: (input: string) => input.toUpperCase(), control: (control: string) => control }
const told = (profile: Profile): string[] =>
  conflictsIn(profile, WORDS).map(({ kind, sentence }) => `${kind}: ${sentence}`)
const faults = (profile: Profile): string[] => told(profile).filter((one) => one.startsWith('fault'))

/** Hands after the power-on rules. */
function ready(profile: Profile): ControlsRunner {
  const hands = new ControlsRunner(profile)
  hands.report(0, 0)
  hands.tick(1_000)
  return hands
}

const LONGER_THAN_CHORDS_MS = LIMITS.maxChordMs + 1

/** Few controls, so that they get into each other's way. */
const POOL = ['face-south', 'face-east', 'face-west', 'centre', 'trigger-left'] as const satisfies Control[]
const arbSome = (minLength: number, maxLength: number) =>
  fc.subarray<Control>([...POOL], { minLength, maxLength })
const arbCrowded: fc.Arbitrary<Profile> = fc
  .record({
    mapping: fc.record(
      Object.fromEntries(INPUTS.map((input) => [input, arbSome(0, 2)])) as Record<
        Input,
        fc.Arbitrary<Control[]>
      >,
    ),
    layers: fc.array(
      fc.record<Layer>({
        kind: fc.constantFrom('held', 'toggled'),
        by: arbSome(1, 3),
        mapping: fc.dictionary(fc.constantFrom(...INPUTS), arbSome(0, 2), { maxKeys: 8 }),
      }),
      { maxLength: 4 },
    ),
    chords: fc.array(
      fc.record<Chord>({
        held: arbSome(2, 4),
        withinMs: fc.oneof(fc.nat(12), fc.nat(LIMITS.maxChordMs)),
        inputs: fc.subarray([...INPUTS], { minLength: 1, maxLength: 4 }),
      }),
      { maxLength: 4 },
    ),
    vertical: fc.constantFrom(...OPPOSITE_POLICIES),
    horizontal: fc.constantFrom(...OPPOSITE_POLICIES),
  })
  .map(({ vertical, horizontal, ...rest }) => ({ ...SIX, ...rest, opposite: { vertical, horizontal } }))

/** What the hands do: after so many ms exactly these controls are held. */
const arbMoves = fc.array(
  fc.tuple(
    fc.oneof(fc.nat(14), fc.constantFrom(0, 1, LONGER_THAN_CHORDS_MS)),
    fc.subarray<Control>([...POOL]).map(controlMask),
  ),
  { minLength: 1, maxLength: 60 },
)

describe('an input that is said to be out of reach', () => {
  it('is never pressed, whatever the hands do', () => {
    let never = 0
    fc.assert(
      fc.property(arbCrowded, arbMoves, (profile, moves) => {
        const reach = new Reachability(profile)
        const out = INPUTS.filter((input) => reach.of(input) === 'never')
        never += out.length
        const mask = maskOf(out)
        const hands = ready(profile)
        let nowMs = 1_000
        for (const [afterMs, held] of moves) {
          for (let ms = 0; ms < afterMs; ms++) {
            hands.tick(++nowMs)
            if (hands.inputs & mask) expect(inputsIn(hands.inputs & mask)).toEqual([])
          }
          hands.report(held, nowMs)
          expect(inputsIn(hands.inputs & mask)).toEqual([])
        }
      }),
      { numRuns: draws(500) },
    )
    expect(never).toBeGreaterThan(often(300))
  })
})

it('layers that only a grip of several controls tells apart are in reach', () => {
  const y: Partial<Record<Input, Control[]>> = { y: [] }
  const layers: Layer[] = [
    { kind: 'toggled', by: ['centre'], mapping: { y: ['face-west'] } },
    { kind: 'toggled', by: ['centre', 'trigger-left'], mapping: y },
    { kind: 'toggled', by: ['trigger-left'], mapping: y },
  ]
  const profile: Profile = { ...SIX, mapping: { ...SIX.mapping, y: [] }, layers }
  const way = new Reachability(profile).of('y')
  if (typeof way === 'string') throw new Error(way)
  // One by one, centre and trigger always leave an even number of the three on.
  expect(way).toMatchObject({ toggledOn: [0] })
  expect(inputsIn(follow(profile, way))).toContain('y')
})

/** Presses these one by one, each longer than any chord waits, so that all of them come to pass. */
function pressOneByOne(hands: ControlsRunner, controls: readonly Control[], fromMs: number): number {
  let nowMs = fromMs
  controls.forEach((_, k) => {
    hands.report(controlMask(controls.slice(0, k + 1)), nowMs)
    nowMs += LONGER_THAN_CHORDS_MS
    hands.tick(nowMs)
  })
  return nowMs
}

/** Goes of toggling controls after which these layers, and no other toggled ones, are on; searched for, breadth first. */
function goesTo(layers: readonly Layer[], wanted: number): readonly (readonly Control[])[] {
  const changes = (controls: readonly Control[]): number =>
    layers.reduce(
      (bits, { kind, by }, k) =>
        kind === 'toggled' && by.some((control) => controls.includes(control)) ? bits | (1 << k) : bits,
      0,
    )
  const sets = Array.from({ length: 1 << POOL.length }, (_, bits) => POOL.filter((_, k) => (bits >> k) & 1))
  const met = new Map<number, readonly (readonly Control[])[]>([[0, []]])
  for (const [state, goes] of met)
    for (const set of sets) {
      const next = state ^ changes(set)
      if (!met.has(next)) met.set(next, [...goes, set])
    }
  const goes = met.get(wanted)
  if (goes === undefined) throw new Error('these layers cannot be on together')
  return goes
}

/** Does it, and gives what is pressed in the end. */
function follow(profile: Profile, way: WayToPress): number {
  const hands = ready(profile)
  let nowMs = 1_000
  if (way.kind === 'chord') {
    const times = [...way.atMs].sort(([, a], [, b]) => a - b)
    const down: Control[] = []
    for (const atMs of new Set(times.map(([, at]) => at))) {
      for (; nowMs < 1_000 + atMs - 1;) hands.tick(++nowMs)
      down.push(...times.filter(([, at]) => at === atMs).map(([control]) => control))
      hands.report(controlMask(down), (nowMs = 1_000 + atMs))
    }
    return hands.inputs
  }
  const pool = controlMask(POOL)
  const passing = controlsIn((way.passing & pool) >>> 0)
  const final = profile.layers.reduce(
    (bits, { kind, by }, k) =>
      kind === 'toggled' && by.some((control) => passing.includes(control)) ? bits | (1 << k) : bits,
    0,
  )
  const wanted = way.toggledOn.reduce((bits, k) => bits | (1 << k), 0)
  for (const go of goesTo(profile.layers, wanted ^ final)) {
    nowMs = pressOneByOne(hands, go, nowMs)
    hands.report(0, nowMs)
    nowMs += LONGER_THAN_CHORDS_MS
    hands.tick(nowMs)
  }
  pressOneByOne(hands, passing, nowMs)
  return hands.inputs
}

describe('an input that is said to be in reach', () => {
  it('is pressed when it is done as told', () => {
    const count = { controls: 0, chord: 0, unsure: 0, never: 0 }
    fc.assert(
      fc.property(arbCrowded, (profile) => {
        const reach = new Reachability(profile)
        for (const input of INPUTS) {
          const way = reach.of(input)
          if (typeof way === 'string') {
            count[way] += 1
            continue
          }
          count[way.kind] += 1
          expect(follow(profile, way) & inputBit(input), input).not.toBe(0)
        }
      }),
      { numRuns: draws(250) },
    )
    expect(count.controls).toBeGreaterThan(often(500))
    expect(count.chord).toBeGreaterThan(often(20))
    // What is not worked out is rare.
    expect(count.unsure).toBeLessThan(count.never / 5)
  })
})

/** Each way for these controls to go down at whole ms up to `lastMs`, one of them at 0. */
const timesUpTo = (lastMs: number, controls: readonly Control[]): ReadonlyMap<Control, number>[] =>
  controls
    .reduce<readonly (readonly [Control, number])[][]>(
      (ways, control) =>
        ways.flatMap((way) =>
          Array.from({ length: lastMs + 1 }, (_, atMs) => [...way, [control, atMs] as const]),
        ),
      [[]],
    )
    .filter((way) => way.some(([, atMs]) => atMs === 0))
    .map((way) => new Map(way))

describe('a chord', () => {
  const pair: Chord = { held: ['face-south', 'face-east'], withinMs: 20, inputs: ['start'] }
  const three: Chord = { held: ['face-south', 'face-east', 'face-west'], withinMs: 50, inputs: ['mode'] }

  it('that holds an earlier one is reached by coming too slowly for that one', () => {
    const times = chordReach([pair, three], 1)
    if (typeof times === 'string') throw new Error(times)
    expect(Math.max(...times.values())).toBeLessThanOrEqual(50)
    expect(follow({ ...SIX, chords: [pair, three] }, { kind: 'chord', chord: 1, atMs: times })).toBe(
      inputBit('mode'),
    )
    expect(chordReach([three, pair], 0)).toEqual(new Map(three.held.map((control) => [control, 0])))
  })

  it('is impossible where the earlier one waits as long, and where there is no time for all that lie within', () => {
    expect(chordReach([{ ...pair, withinMs: 50 }, three], 1)).toBe('impossible')
    const others: Chord[] = [
      { ...pair, withinMs: 30 },
      { ...pair, held: ['face-east', 'face-west'], withinMs: 30 },
      { ...pair, held: ['face-south', 'face-west'], withinMs: 30 },
    ]
    expect(chordReach([...others, three], 3)).toBe('impossible')
    expect(typeof chordReach([...others, { ...three, withinMs: 62 }], 3)).toBe('object')
    expect(chordReach([...others, { ...three, withinMs: 61 }], 3)).toBe('impossible')
  })

  it('of two or three controls is impossible exactly where no times of theirs bring it on, all tried one by one', () => {
    let impossible = 0
    let hard = 0
    const arbChord = fc.record<Chord>({
      held: fc.subarray<Control>(POOL.slice(0, 3), { minLength: 2 }),
      withinMs: fc.nat(4),
      inputs: fc.constant<Input[]>(['start']),
    })
    fc.assert(
      fc.property(fc.array(arbChord, { minLength: 2, maxLength: 4 }), fc.nat(3), (drawn, at) => {
        const index = at % drawn.length
        const chords = drawn.map((chord, k): Chord => ({
          ...chord,
          inputs: [k === index ? 'mode' : 'start'],
        }))
        const profile: Profile = { ...SIX, chords, mapping: { ...SIX.mapping, mode: [] } }
        const comesOn = timesUpTo(9, chords[index]?.held ?? []).some(
          (atMs) => (follow(profile, { kind: 'chord', chord: index, atMs }) & inputBit('mode')) !== 0,
        )
        const reach = chordReach(chords, index)
        expect(typeof reach === 'object').toBe(comesOn)
        if (!comesOn) impossible += 1
        if (typeof reach === 'object' && Math.max(...reach.values()) > 0) hard += 1
      }),
      { numRuns: draws(400) },
    )
    expect(impossible).toBeGreaterThan(often(40))
    expect(hard).toBeGreaterThan(often(10))
  })

  it('that is impossible is never seen on, and any other can be', () => {
    let impossible = 0
    let hard = 0
    const arbChords = fc.array(
      fc.record<Chord>({
        held: arbSome(2, 4),
        withinMs: fc.nat(16),
        inputs: fc.constant<Input[]>(['start']),
      }),
      { minLength: 2, maxLength: 5 },
    )
    fc.assert(
      fc.property(arbChords, arbMoves, fc.nat(4), (drawn, moves, at) => {
        const index = at % drawn.length
        const chords = drawn.map((chord, k): Chord => ({
          ...chord,
          inputs: [k === index ? 'mode' : 'start'],
        }))
        const profile: Profile = { ...SIX, chords, mapping: { ...SIX.mapping, mode: [] } }
        const reach = chordReach(chords, index)
        if (typeof reach === 'object') {
          if (Math.max(...reach.values()) > 0) hard += 1
          expect(follow(profile, { kind: 'chord', chord: index, atMs: reach }) & inputBit('mode')).not.toBe(0)
          return
        }
        expect(reach).toBe('impossible')
        impossible += 1
        const hands = ready(profile)
        let nowMs = 1_000
        for (const [afterMs, held] of moves) {
          for (let ms = 0; ms < afterMs; ms++) hands.tick(++nowMs)
          hands.report(held, nowMs)
          expect(hands.inputs & inputBit('mode')).toBe(0)
        }
      }),
      { numRuns: draws(1_500) },
    )
    expect(impossible).toBeGreaterThan(often(100))
    expect(hard).toBeGreaterThan(often(30))
  })
})

describe('what is told', () => {
  it('of the profiles that everybody starts from: no fault', () => {
    for (const profile of Object.values(BUILT_IN_PROFILES)) expect(faults(profile)).toEqual([])
    expect(told(SIX)).toEqual(['note: The right stick does nothing.'])
    expect(told(BUILT_IN_PROFILES['six-button-one-cycle'])).toEqual([
      'note: X is pressed, but no cell of the chart shows it.',
      'note: Y is pressed, but no cell of the chart shows it.',
      'note: Z is pressed, but no cell of the chart shows it.',
      'note: MODE is pressed, but no cell of the chart shows it.',
      'note: The right stick does nothing.',
    ])
  })

  const held: Layer = { kind: 'held', by: ['trigger-left'], mapping: {} }
  const chord: Chord = { held: ['face-south', 'extra-1'], withinMs: 20, inputs: ['x'] }
  const quick = chord
  const slow: Chord = { ...chord, held: ['face-south', 'centre'], withinMs: 90 }
  it.each<[string, Partial<Profile>, string]>([
    [
      'nothing for an input',
      { mapping: { ...SIX.mapping, y: [] } },
      'note: Y has no control. Map one if the title needs it.',
    ],
    [
      'an input that a layer always takes away',
      { layers: [{ kind: 'held', by: ['face-north'], mapping: { y: [] } }] },
      'fault: Y can never be pressed: something else always blocks it.',
    ],
    [
      'a control for two inputs',
      { mapping: { ...SIX.mapping, y: ['face-west'] } },
      'note: face-west presses A and Y together.',
    ],
    [
      'a control for opposite directions',
      { layers: [{ ...held, mapping: { left: ['centre'], right: ['centre'] } }] },
      'fault: centre presses LEFT and RIGHT at once in layer 1: remove one of them.',
    ],
    [
      'a control for opposite directions outside of the layers',
      { mapping: { ...SIX.mapping, left: ['centre'], right: ['centre'] } },
      'fault: centre presses LEFT and RIGHT at once: remove one of them.',
    ],
    [
      'a control for a direction and a button',
      { mapping: { ...SIX.mapping, a: ['dpad-up'] } },
      'note: dpad-up presses UP and A together.',
    ],
    [
      'a control for two inputs in a layer',
      { layers: [{ ...held, mapping: { a: ['centre'], b: ['centre'] } }] },
      'note: centre presses A and B together in layer 1.',
    ],
    [
      'a layer by a control that presses',
      { layers: [{ ...held, by: ['face-north'], mapping: { a: ['centre'] } }] },
      'note: face-north turns layer 1 on and also presses Y. Turn that off in the layer unless it is intended.',
    ],
    ['a layer without inputs', { layers: [held] }, 'note: Layer 1 overrides nothing, so it has no effect.'],
    [
      'a layer under another',
      {
        layers: [
          { ...held, mapping: { a: ['centre'] } },
          { kind: 'held', by: ['trigger-left', 'trigger-right'], mapping: { a: [], b: [] } },
        ],
      },
      'fault: Layer 1 has no effect: whenever it is on, layer 2 is on and overrides the same inputs.',
    ],
    [
      'a held layer without Start',
      { layers: [{ ...held, mapping: { start: [] } }] },
      'note: While layer 1 is on, nothing presses START.',
    ],
    [
      'a toggled layer without Start',
      { layers: [{ ...held, kind: 'toggled', mapping: { start: [] } }] },
      'fault: While layer 1 is on, nothing presses START.',
    ],
    [
      'a chord after its like',
      { chords: [chord, { ...chord, inputs: ['y'] }] },
      'fault: Chord 2 never comes on: chord 1 has the same controls and is checked first.',
    ],
    [
      'a chord after its part',
      { chords: [chord, { ...chord, held: ['face-south', 'centre', 'extra-1'] }] },
      'fault: Chord 2 never comes on: its controls are taken by chord 1, which is checked first. Move it up.',
    ],
    [
      'a slow chord after its part',
      { chords: [chord, { ...chord, held: ['face-south', 'centre', 'extra-1'], withinMs: 90 }] },
      'note: Chord 2 can hardly be reached: chord 1 lies within it and is checked first. Move it up.',
    ],
    [
      'of two chords within, the one that takes the controls: it waits as long',
      { chords: [quick, slow, { ...chord, held: ['face-south', 'centre', 'extra-1'], withinMs: 90 }] },
      'fault: Chord 3 never comes on: its controls are taken by chord 2, which is checked first. Move it up.',
    ],
    [
      'of two chords within, the one that is checked first, however long a later one waits',
      { chords: [quick, { ...chord, held: ['face-south', 'centre', 'extra-1'], withinMs: 60 }, slow] },
      'note: Chord 2 can hardly be reached: chord 1 lies within it and is checked first. Move it up.',
    ],
    [
      'a chord before its part',
      { chords: [{ ...chord, held: ['face-south', 'centre', 'extra-1'] }, chord] },
      'note: Chord 1 comes on only if all its controls come at once: chord 2 lies within it.',
    ],
    [
      'a chord for opposite directions',
      { chords: [{ ...chord, inputs: ['up', 'down'] }] },
      'fault: Chord 1 presses UP and DOWN at once: remove one of them.',
    ],
    [
      'a control that waits',
      { chords: [chord] },
      'note: face-south is delayed by up to 20 ms, because it waits for a chord.',
    ],
    [
      'a chord that changes the bank',
      { chords: [chord], bankChange: [{ held: ['extra-1'], forMs: 300, bank: 2 }] },
      'note: Chord 1 held for 300 ms is also bank change 1.',
    ],
    [
      'a chord that is a power-on rule',
      { chords: [chord], powerOn: [{ held: ['face-south', 'extra-1'], then: { kind: 'bank', bank: 2 } }] },
      'note: Chord 1 held at power-on is also power-on rule 1.',
    ],
    [
      'a direction that repeats',
      { repeat: { left: { kind: 'time', pressedMs: 20, releasedMs: 20 } } },
      'note: LEFT repeats, so a direction that is held stutters.',
    ],
    [
      'a stick with a way too few',
      { mapping: { ...SIX.mapping, left: ['dpad-left'] } },
      'note: The left stick does nothing on its way left.',
    ],
    [
      'a stick with two ways too few',
      { mapping: { ...SIX.mapping, down: ['dpad-down'], right: ['dpad-right'] } },
      'note: The left stick does nothing on its ways down and right.',
    ],
  ])('%s', (_, change, sentence) => {
    expect(told({ ...SIX, ...change })).toContain(sentence)
  })

  it('nothing of chords that share a control and no more, nor of rules for other controls', () => {
    const profile: Profile = {
      ...SIX,
      chords: [chord, slow],
      bankChange: [{ held: ['extra-2'], forMs: 300, bank: 2 }],
      powerOn: [{ held: ['extra-2'], then: { kind: 'bank', bank: 2 } }],
    }
    expect(told(profile).filter((sentence) => /chord \d|rule \d|change \d/i.test(sentence))).toEqual([])
  })

  it('each has a place that is in the profile', () => {
    fc.assert(
      fc.property(arbCrowded, (profile) => {
        for (const { place, sentence } of conflictsIn(profile, WORDS)) {
          expect(sentence).toMatch(/^\S.*\.$/)
          expect(sentence).not.toMatch(/undefined|NaN|\b0\b/)
          if (place.at === 'layer') expect(profile.layers[place.index]).toBeDefined()
          if (place.at === 'chord') expect(profile.chords[place.index]).toBeDefined()
        }
      }),
      { numRuns: draws(200) },
    )
  })

  it('what the three-button chart does not show is no matter while nothing presses it', () => {
    expect(told(THREE)).toEqual(['note: The right stick does nothing.'])
  })
})
