import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { controlMask } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { inputsIn } from '../../../src/port/pins.ts'
import type { Input } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { encodeImage } from '../../../src/profile/encode-image.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { describeWith } from '../../tools.ts'
import { compareInputState } from './input-state-reference.ts'
import { COMPILE_MS, HOST_COMPILER, HostProgram, Message } from './host-program.ts'

/** Bytes of an answer before its states, and of a state. */
const HEAD = 7
const STATE = 3 + 16

describeWith('hands in C', [HOST_COMPILER], () => {
  let host: HostProgram
  beforeAll(() => {
    host = HostProgram.start('input-state-host.c', [
      'input-state.c',
      'chords.c',
      'layers.c',
      'image-content.c',
    ])
  }, COMPILE_MS)
  afterAll(() => host.stop())

  const RUNS = 1_000
  test(`do what the image means: ${RUNS} random images, hands and times`, async () => {
    await compareInputState((message) => host.ask(message), RUNS)
  })

  /** What happens from a millisecond on: exactly these controls are held, or only time passes. */
  type Step = readonly [atMs: number, held?: readonly Control[]]

  /** The inputs after each step. */
  async function played(profile: Profile, steps: readonly Step[]): Promise<Input[][]> {
    const message = new Message().u8(1).counted(encodeImage(profile))
    for (const [atMs, held] of steps) {
      message.bytes(Buffer.from(held ? 'r' : 't')).u32(atMs)
      if (held) message.u32(controlMask(held))
    }
    const answer = Buffer.from(await host.ask(message.done()))
    return steps.map((_, k) => inputsIn(answer.readUInt16LE(HEAD + k * STATE)))
  }
  /** With the power-on rules judged and nothing held at 500 ms. */
  const playedFrom500 = async (profile: Profile, steps: readonly Step[]): Promise<Input[][]> =>
    (await played(profile, [[0, []], [500], ...steps])).slice(2)

  test('nothing is pressed before 500 ms have passed since the first report', async () => {
    const steps: Step[] = [[0, ['dpad-up']], [1], [499], [500]]
    expect(await played(BUILT_IN_PROFILES['three-button'], steps)).toEqual([[], [], [], ['up']])
  })

  test('the clock may wrap', async () => {
    const steps: Step[] = [[0xffffff00, ['dpad-down']], [0xf3], [0xf4]]
    expect(await played(BUILT_IN_PROFILES['three-button'], steps)).toEqual([[], [], ['down']])
  })

  test('a look at the clock that is older than the last report is taken for that', async () => {
    const steps: Step[] = [[0, []], [500], [601, ['dpad-down']], [600], [600, ['dpad-up']]]
    const states = await played(BUILT_IN_PROFILES['three-button'], steps)
    expect(states.slice(2)).toEqual([['down'], ['down'], ['up']])
  })

  describe('by the words of IMAGE.md', () => {
    const bare = Object.fromEntries(
      Object.keys(BUILT_IN_PROFILES['three-button'].mapping).map((input) => [input, []]),
    )
    const profile: Profile = {
      ...BUILT_IN_PROFILES['three-button'],
      mapping: {
        ...BUILT_IN_PROFILES['three-button'].mapping,
        ...bare,
        a: ['face-south'],
        b: ['face-east'],
        c: ['face-west'],
      },
      layers: [],
    }
    const chorded: Profile = {
      ...profile,
      chords: [{ held: ['face-south', 'face-east'], withinMs: 30, inputs: ['start'] }],
    }

    test('a chord comes on within its time, spends its controls, and goes off with the first of them', async () => {
      expect(
        await playedFrom500(chorded, [
          [600, ['face-south']],
          [630, ['face-south', 'face-east']],
          [700, ['face-south']],
          [800, ['face-south', 'face-east']],
          [829],
          [830],
          [900, []],
        ]),
      ).toEqual([[], ['start'], [], [], [], ['b'], []])
    })

    test('a control that waited for its time passes, and a later one is no chord with it', async () => {
      expect(
        await playedFrom500(chorded, [
          [600, ['face-south']],
          [629],
          [631, ['face-south', 'face-east']],
          [660],
          [661],
        ]),
      ).toEqual([[], [], ['a'], ['a'], ['a', 'b']])
    })

    test('a short press passes late, for as long as it waited, one millisecond at least', async () => {
      expect(
        await playedFrom500(chorded, [
          [600, ['face-south']],
          [610, []],
          [619],
          [620],
          [700, ['face-east']],
          [700, []],
          [701],
        ]),
      ).toEqual([[], ['a'], ['a'], [], [], ['b'], []])
    })

    test('a shorter press does not shorten what still passes of a longer one', async () => {
      expect(
        await playedFrom500(chorded, [
          [600, ['face-south']],
          [620, []],
          [621, ['face-south']],
          [623, []],
          [639],
          [640],
        ]),
      ).toEqual([[], ['a'], ['a'], ['a'], ['a'], []])
    })

    test('what belongs to no chord passes at once', async () => {
      expect(await playedFrom500(chorded, [[600, ['face-west']]])).toEqual([['c']])
    })

    test('what was held when the rules were judged passes', async () => {
      expect(await played(chorded, [[0, ['face-south', 'face-east']], [500]])).toEqual([[], ['a', 'b']])
    })

    test('a toggled layer changes with the first of its controls, and stays', async () => {
      const toggled: Profile = {
        ...profile,
        layers: [
          { kind: 'toggled', by: ['shoulder-left', 'shoulder-right'], mapping: { a: ['face-east'], b: [] } },
        ],
      }
      const both = ['shoulder-left', 'shoulder-right', 'face-east'] as const
      expect(
        await playedFrom500(toggled, [
          [600, ['face-east']],
          [601, ['face-east', 'shoulder-left']],
          [602, both],
          [603, ['face-east']],
          [604, ['face-east', 'shoulder-right']],
        ]),
      ).toEqual([['b'], ['a'], ['a'], ['a'], ['b']])
    })

    test('a repeat by time is pressed and let go by the millisecond, whatever is read', async () => {
      const repeated: Profile = { ...profile, repeat: { a: { kind: 'time', pressedMs: 3, releasedMs: 2 } } }
      const steps = Array.from({ length: 10 }, (_, k): Step => (k === 0 ? [600, ['face-south']] : [600 + k]))
      const pressed = (await playedFrom500(repeated, steps)).map((inputs) => inputs.length)
      expect(pressed).toEqual([1, 1, 1, 0, 0, 1, 1, 1, 0, 0])
    })

    test('a tick that comes late has lived through every millisecond', async () => {
      const both: Profile = { ...chorded, repeat: { a: { kind: 'time', pressedMs: 3, releasedMs: 2 } } }
      const early = await playedFrom500(both, [
        [600, ['face-south']],
        ...Array.from({ length: 60 }, (_, k): Step => [601 + k]),
      ])
      const late = await playedFrom500(both, [[600, ['face-south']], [634], [660]])
      expect(late.slice(1)).toEqual([early[34], early[60]])
      expect(early[34]).not.toEqual(early[60])
    })
  })
})
