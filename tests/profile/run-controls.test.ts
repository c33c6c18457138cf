import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlMask } from '../../src/pad/controls.ts'
import type { Control } from '../../src/pad/controls.ts'
import { inputsIn } from '../../src/port/pins.ts'
import type { Input } from '../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { encodeImage } from '../../src/profile/encode-image.ts'
import { JUDGED_AFTER_MS, ControlsRunner } from '../../src/profile/run-controls.ts'
import { ImageControlsRunner } from '../reference/profile/run-image-controls.ts'
import type { Chord, Layer, Profile } from '../../src/profile/schema.ts'
import { arbHandSteps, arbProfile } from '../arbitraries.ts'
import { draws, often } from '../draws.ts'

/** Rules of IMAGE.md that take time, on the profile and on its image. */

const SIX = BUILT_IN_PROFILES['six-button']

type Step =
  | { readonly kind: 'report'; readonly held: number }
  | { readonly kind: 'let go' | 'tick' | 'read ended' }
  | { readonly kind: 'wish'; readonly atRest: boolean }
  | { readonly kind: 'load'; readonly profile: Profile; readonly bank: number }

/** Chords and rules are held more often than chance would have it. */
const arbHeld = (profile: Profile): fc.Arbitrary<number> => {
  const named = [...profile.chords, ...profile.powerOn, ...profile.bankChange].map(({ held }) => held)
  const hands = arbHandSteps(profile).map((steps) => steps[0]?.held ?? 0)
  if (named.length === 0) return fc.oneof(hands, fc.constant(0))
  const whole = fc.constantFrom(...named)
  const part = whole.chain((controls) => fc.subarray([...controls], { minLength: 1 }))
  return fc.oneof(whole.map(controlMask), part.map(controlMask), hands, fc.constant(0))
}

const arbStep = (profile: Profile): fc.Arbitrary<Step> =>
  fc.oneof(
    { weight: 8, arbitrary: arbHeld(profile).map((held) => ({ kind: 'report' as const, held })) },
    { weight: 4, arbitrary: fc.constantFrom<Step>({ kind: 'tick' }, { kind: 'read ended' }) },
    { weight: 2, arbitrary: fc.boolean().map((atRest) => ({ kind: 'wish' as const, atRest })) },
    { weight: 1, arbitrary: fc.constant<Step>({ kind: 'let go' }) },
    {
      weight: 1,
      arbitrary: fc.record({ kind: fc.constant('load' as const), profile: arbProfile, bank: fc.nat(4) }),
    },
  )

const arbScene = arbProfile.chain((profile) =>
  fc.record({
    profile: fc.constant(profile),
    bank: fc.nat(4),
    /** At some moment around which the power-on rules are judged; more often long after. */
    startMs: fc.oneof({ weight: 3, arbitrary: fc.constant(2_000) }, { weight: 1, arbitrary: fc.nat(600) }),
    steps: fc.array(
      fc.record({
        afterMs: fc.oneof(
          { weight: 4, arbitrary: fc.nat(3) },
          { weight: 2, arbitrary: fc.nat(260) },
          {
            weight: 2,
            arbitrary: fc.constantFrom(0, 1, 499, 500, ...profile.chords.map(({ withinMs }) => withinMs)),
          },
          { weight: 1, arbitrary: fc.nat(11_000) },
        ),
        step: arbStep(profile),
      }),
      { minLength: 1, maxLength: 40 },
    ),
  }),
)

type Hands = Pick<
  ControlsRunner,
  'report' | 'letGo' | 'tick' | 'readEnded' | 'takeWish' | 'inputs' | 'passing'
> &
  Pick<ControlsRunner, 'firstCycleOnly' | 'pinsAt'>

describe('profile and image side by side', () => {
  it('press the same inputs, pass the same controls and wish for the same banks', () => {
    let pressed = 0
    let held = 0
    let chorded = 0
    fc.assert(
      fc.property(arbScene, ({ profile, bank, startMs, steps }) => {
        const ofProfile = new ControlsRunner(profile, bank)
        const ofImage = new ImageControlsRunner(encodeImage(profile), bank)
        const both: readonly Hands[] = [ofProfile, ofImage]
        for (const hands of both) hands.report(0, 0)
        let nowMs = startMs
        for (const { afterMs, step } of steps) {
          nowMs += afterMs
          const [told, toldImage] = both.map((hands) => act(hands, step, nowMs))
          if (step.kind === 'load') {
            ofProfile.load(step.profile, step.bank, nowMs)
            ofImage.load(encodeImage(step.profile), step.bank, nowMs)
          }
          if (step.kind === 'report') held = step.held
          expect(toldImage).toEqual(told)
          expect(stateOf(ofImage)).toEqual(stateOf(ofProfile))
          if (ofProfile.inputs !== 0) pressed += 1
          if ((held & ~ofProfile.passing) !== 0) chorded += 1
        }
      }),
      { numRuns: draws(1_500) },
    )
    expect(pressed).toBeGreaterThan(often(3_000))
    expect(chorded).toBeGreaterThan(often(1_000))
  })

  const stateOf = (hands: Hands) => [
    hands.inputs,
    hands.passing,
    hands.firstCycleOnly,
    hands.pinsAt(0, 'high'),
    hands.pinsAt(2, 'low'),
  ]

  function act(hands: Hands, step: Step, nowMs: number): unknown {
    switch (step.kind) {
      case 'report':
        return hands.report(step.held, nowMs)
      case 'let go':
        return hands.letGo(nowMs)
      case 'tick':
        return hands.tick(nowMs)
      case 'read ended':
        return hands.readEnded()
      case 'wish':
        return hands.takeWish(step.atRest)
      case 'load':
        return null
    }
  }

  it('whether time comes in one piece or millisecond by millisecond is all the same once the rules are judged', () => {
    fc.assert(
      fc.property(
        arbProfile.chain((profile) =>
          fc.tuple(
            fc.constant(profile),
            fc.array(fc.tuple(fc.nat(300), arbHeld(profile)), { maxLength: 15 }),
          ),
        ),
        ([profile, moves]) => {
          const rare = judged(profile)
          const often = judged(profile)
          let nowMs = START_MS
          for (const [afterMs, held] of moves) {
            for (let ms = 1; ms < afterMs; ms++) often.tick(nowMs + ms)
            nowMs += afterMs
            rare.report(held, nowMs)
            often.report(held, nowMs)
            expect(stateOf(often)).toEqual(stateOf(rare))
          }
        },
      ),
      { numRuns: draws(200) },
    )
  })
})

/** From here on the rules are judged and nothing is held. */
const START_MS = 1_000

function judged(profile: Profile): ControlsRunner {
  const hands = new ControlsRunner(profile)
  hands.report(0, 0)
  hands.tick(START_MS)
  return hands
}

/** What is pressed after each of these: `ms` since the start, and the controls held from then on (none told: nothing changes). */
function play(profile: Profile, steps: readonly (readonly [number, (readonly Control[])?])[]): Input[][] {
  const both = [judged(profile), new ImageControlsRunner(encodeImage(profile))] as const
  both[1].report(0, 0)
  both[1].tick(START_MS)
  return steps.map(([ms, held]) => {
    for (const hands of both) {
      if (held) hands.report(controlMask(held), START_MS + ms)
      else hands.tick(START_MS + ms)
    }
    expect(both[1].inputs).toBe(both[0].inputs)
    return inputsIn(both[0].inputs)
  })
}

const withChords = (...chords: Chord[]): Profile => ({ ...SIX, chords })

describe('a chord', () => {
  // South and east press b and c one by one.
  const startChord: Chord = { held: ['face-south', 'face-east'], withinMs: 20, inputs: ['start', 'mode'] }

  it('comes on when its controls come within its time, and presses its inputs alone', () => {
    expect(
      play(withChords(startChord), [
        [0, ['face-south']],
        [19],
        [20, ['face-south', 'face-east']],
        [500],
        [501, ['face-south']],
        [502],
        [503, ['face-south', 'face-east']],
        [600],
      ]),
    ).toEqual([
      [],
      [],
      ['start', 'mode'],
      ['start', 'mode'],
      [],
      // Spent, it passes again only after it was let go; east is down for a second time, and waits in vain.
      [],
      [],
      ['c'],
    ])
  })

  it('too late is two presses, the first of them as late as the chord allows', () => {
    expect(
      play(withChords(startChord), [
        [0, ['face-south']],
        [19],
        [20],
        [21, ['face-south', 'face-east']],
        [40],
        [41],
      ]),
    ).toEqual([[], [], ['b'], ['b'], ['b'], ['b', 'c']])
  })

  it('a control let go while it waits is pressed for as long as it had waited', () => {
    expect(play(withChords(startChord), [[0, ['face-south']], [8, []], [15], [16]])).toEqual([
      [],
      ['b'],
      ['b'],
      [],
    ])
    // In the same millisecond: for one.
    expect(play(withChords(startChord), [[0, ['face-south']], [0, []], [1]])).toEqual([[], ['b'], []])
  })

  it('pressed again meanwhile, it goes on being pressed and waits anew', () => {
    expect(
      play(withChords(startChord), [
        [0, ['face-south']],
        [10, []],
        [15, ['face-south']],
        [19],
        [20],
        [34],
        [35],
      ]),
    ).toEqual([[], ['b'], ['b'], ['b'], [], [], ['b']])
  })

  it('of which another is a part comes second where both come at once', () => {
    const three: Chord = {
      held: ['face-south', 'face-east', 'face-north'],
      withinMs: 20,
      inputs: ['x'],
    }
    const all: readonly Control[] = ['face-south', 'face-east', 'face-north']
    expect(play(withChords(startChord, three), [[0, all]])).toEqual([['start', 'mode']])
    expect(play(withChords(three, startChord), [[0, all]])).toEqual([['x']])
  })

  it('of 0 ms wants its controls in one report and delays nothing', () => {
    const now: Chord = { ...startChord, withinMs: 0 }
    expect(
      play(withChords(now), [
        [0, ['face-south']],
        [0, ['face-south', 'face-east']],
      ]),
    ).toEqual([['b'], ['b', 'c']])
    expect(play(withChords(now), [[0, ['face-south', 'face-east']]])).toEqual([['start', 'mode']])
  })

  it('a control waits for the slowest chord that it belongs to', () => {
    const slow: Chord = { held: ['face-south', 'face-west'], withinMs: 50, inputs: ['x'] }
    const profile = withChords(startChord, slow)
    expect(play(profile, [[0, ['face-south']], [49], [50]])).toEqual([[], [], ['b']])
    expect(
      play(profile, [
        [0, ['face-south']],
        [30, ['face-south', 'face-east']],
        [31, ['face-south', 'face-east', 'face-west']],
      ]),
    ).toEqual([[], [], ['x']])
  })

  it('looks at nothing that was held before the rules were judged', () => {
    const hands = new ControlsRunner(withChords(startChord))
    hands.report(controlMask(['face-south', 'face-east']), 0)
    hands.tick(JUDGED_AFTER_MS - 1)
    expect(hands.inputs).toBe(0)
    hands.tick(JUDGED_AFTER_MS)
    expect(inputsIn(hands.inputs)).toEqual(['b', 'c'])
  })
})

describe('a toggled layer', () => {
  const layer: Layer = {
    kind: 'toggled',
    by: ['trigger-left', 'trigger-right'],
    mapping: { a: ['face-south'] },
  }
  const profile: Profile = { ...SIX, layers: [layer] }

  it('changes whenever the first of its controls comes to pass', () => {
    const south: Control = 'face-south'
    expect(
      play(profile, [
        [0, [south]],
        [1, [south, 'trigger-left']],
        [2, [south, 'trigger-left', 'trigger-right']],
        [3, [south]],
        [4, [south, 'trigger-right']],
        [5, [south]],
      ]),
    ).toEqual([['b'], ['a', 'b'], ['a', 'b'], ['a', 'b'], ['b'], ['b']])
  })

  it('follows what passes, not what is held', () => {
    const chord: Chord = { held: ['trigger-left', 'centre'], withinMs: 30, inputs: ['start'] }
    expect(
      play({ ...profile, chords: [chord] }, [
        [0, ['face-south', 'trigger-left']],
        [29],
        [30],
        [31, []],
        [40, ['centre', 'trigger-left']],
        [41, []],
        [42, ['face-south']],
      ]),
    ).toEqual([['b'], ['b'], ['a', 'b'], [], ['start'], [], ['a', 'b']])
  })
})

describe('a repeat in milliseconds', () => {
  const profile: Profile = { ...SIX, repeat: { a: { kind: 'time', pressedMs: 3, releasedMs: 2 } } }

  it('counts from the press on, its millisecond included', () => {
    const steps = Array.from({ length: 9 }, (_, ms) =>
      ms === 0 ? ([0, ['face-west']] as const) : ([ms] as const),
    )
    const pressed = play(profile, steps).map((inputs) => (inputs.includes('a') ? 'p' : '.'))
    expect(pressed.join('')).toBe('ppp..ppp.')
  })

  it('has nothing to do with idle resets', () => {
    const hands = judged(profile)
    hands.report(controlMask(['face-west']), START_MS)
    for (let read = 0; read < 20; read++) hands.readEnded()
    expect(inputsIn(hands.inputs)).toEqual(['a'])
  })
})

describe('banks', () => {
  const profile: Profile = {
    ...SIX,
    powerOn: [{ held: ['dpad-up'], then: { kind: 'bank', bank: 3 } }],
    bankChange: [{ held: ['centre', 'dpad-left'], forMs: 200, bank: 'previous' }],
    chords: [{ held: ['centre', 'dpad-left'], withinMs: 100, inputs: ['mode'] }],
  }

  it('at power-on come with the next idle reset, once', () => {
    const hands = new ControlsRunner(profile, 1)
    hands.report(controlMask(['dpad-up']), 7)
    hands.tick(507)
    expect(hands.takeWish(true).bank).toBe(0)
    hands.readEnded()
    expect(hands.takeWish(false)).toEqual({ bank: 3, remembered: false })
    expect(hands.takeWish(true).bank).toBe(0)
  })

  it('change between reads with nothing held, by what is held and not by what passes', () => {
    const hands = new ControlsRunner(profile, 1)
    hands.report(0, 0)
    hands.report(controlMask(['centre', 'dpad-left']), 1_000)
    hands.tick(1_199)
    hands.report(0, 1_199)
    expect(hands.takeWish(true).bank).toBe(0)
    hands.report(controlMask(['centre', 'dpad-left']), 2_000)
    hands.tick(2_200)
    expect(hands.takeWish(true).bank).toBe(0)
    hands.letGo(2_201)
    expect(hands.takeWish(false).bank).toBe(0)
    expect(hands.takeWish(true)).toEqual({ bank: 4, remembered: true })
    expect(hands.takeWish(true).bank).toBe(0)
  })

  it('change though the pad says again and again that the same is held', () => {
    const hands = new ControlsRunner(profile, 1)
    hands.report(0, 0)
    for (let ms = 1_000; ms <= 1_200; ms += 8) hands.report(controlMask(['centre', 'dpad-left']), ms)
    hands.report(0, 1_201)
    expect(hands.takeWish(true).bank).toBe(4)
  })

  it('keep to the first cycle where a rule at power-on asked for that', () => {
    const rule = { held: ['face-north'], then: { kind: 'first-cycle-only' } } as const
    const hands = new ControlsRunner({ ...profile, powerOn: [{ ...rule, held: [...rule.held] }] }, 1)
    const phases = () => [0, 1, 2, 3].map((row) => hands.pinsAt(row, 'low'))
    hands.report(controlMask(['face-north']), 0)
    hands.tick(500)
    hands.readEnded()
    hands.report(0, 600)
    expect(new Set(phases()).size).toBe(1)
    hands.load({ ...profile, powerOn: [] }, 2, 700)
    expect(new Set(phases()).size).toBe(1)
  })
})
