import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { controlsIn } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { REST_MS } from '../../../src/pad/learn/learner.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { LEFT_STICK, User, axis, button, press } from './user.ts'

/** Users who do something else than what was asked, on pads that are a little odd. All of them are invented. */

describe('two at once', () => {
  const asks = [press('face-south'), press('face-east')]
  const user = () => new User([button(0), button(1), button(2)], asks, [0]).does(1300)

  it('are not taken for one of them: one is pressed once more', () => {
    const one = user().taps(0b110)
    expect(one.view).toMatchObject({ asked: 0, step: 'two', seen: button(1), besides: button(2) })
    one.taps(0b100)
    expect(one.view).toMatchObject({ asked: 1, step: 'waiting', besides: null })
    expect(one.view.answers[0]?.finding?.place).toEqual(button(2))
  })

  it('that come together once more are one button with two bits', () => {
    const one = user().taps(0b110).taps(0b110)
    expect(one.view.asked).toBe(1)
    expect(one.view.answers[0]?.finding?.place).toEqual(button(1))
    // Two others than before are in doubt again.
    const other = user().taps(0b110).taps(0b101)
    expect(other.view).toMatchObject({ asked: 0, step: 'two', seen: button(0), besides: button(2) })
  })

  it('of which one was only brushed are the longer one, whichever stands first', () => {
    const one = user().does(200).holds(80, 0b11).holds(300, 0b10).does(300)
    expect(one.view.answers[0]?.finding?.place).toEqual(button(1))
  })

  it('are told of a stick that was pushed aslant', () => {
    const stick = () => new User([axis(0), axis(1)], LEFT_STICK, [128, 128]).does(1300)
    const one = stick().taps(250, 6)
    expect(one.view).toMatchObject({ asked: 0, step: 'two' })
    one.taps(160, 4)
    expect(one.view.answers[0]?.finding?.place).toEqual(axis(1))
  })
})

describe('a place that is taken', () => {
  it('gives way to another one that is pressed, with no word to the page', () => {
    const asks = [press('face-south'), press('face-east')]
    const one = new User([button(0), button(1)], asks, [0]).does(1300).taps(1).taps(1)
    expect(one.view).toMatchObject({ step: 'taken', takenBy: press('face-south') })
    // A knock changes nothing.
    one.holds(24, 2).does(300)
    expect(one.view).toMatchObject({ step: 'taken', takenBy: press('face-south') })
    one.taps(2)
    expect(one.view.phase).toBe('done')
    expect(one.view.answers.map(({ finding }) => finding?.place)).toEqual([button(0), button(1)])
  })

  it('is the axis of a stick for its other axis, whichever way it is pushed', () => {
    const one = new User([axis(0), axis(1)], LEFT_STICK, [128, 128]).does(1300).taps(128, 0).taps(128, 255)
    expect(one.view).toMatchObject({ asked: 1, step: 'taken', takenBy: LEFT_STICK[0] })
    one.taps(255, 128)
    expect(one.view.ask?.kind).toBe('roll')
  })
})

describe('a stick that is rolled wrongly', () => {
  const user = () =>
    new User([axis(0), axis(1)], LEFT_STICK, [128, 128]).does(1300).taps(128, 0).taps(255, 128).does(300)
  const at = (x: number, y: number) => [Math.round(128 + 120 * x), Math.round(128 + 120 * y)]
  const wave = (share: number, times: number) => Math.sin(2 * Math.PI * times * share)

  it.each([
    ['to and fro', (share: number) => at(wave(share, 8), 0.02 * wave(share, 61))],
    [
      'over two sides and back',
      (share: number) => at(Math.abs(wave(share, 8)), Math.abs(wave(share + 1 / 32, 8))),
    ],
    ['with small circles', (share: number) => at(0.4 * wave(share, 6), 0.4 * wave(share + 1 / 24, 6))],
    ['resting on a corner', (share: number) => at(0.7 + 0.02 * wave(share, 50), 0.7)],
  ])('goes on being asked (%s)', (_, way) => {
    const one = user().does(4000, way).does(400)
    expect(one.view).toMatchObject({ turns: 0, ask: { kind: 'roll' } })
  })

  it('is counted by whole turns, either way round, from wherever it begins', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 3 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.boolean(),
        (turns, from, clockwise) => {
          const angle = (share: number) => 2 * Math.PI * (from + (clockwise ? 1 : -1) * share * (turns + 0.1))
          const one = user().does(900 * turns, (share) => at(Math.cos(angle(share)), Math.sin(angle(share))))
          expect(one.view.turns).toBe(turns)
        },
      ),
      { numRuns: 30 },
    )
  })
})

describe('a rest that is none', () => {
  const asks = [press('face-south')]

  it('is taken again where a button was pressed meanwhile, and the button is learned all the same', () => {
    const one = new User([button(0)], asks, [0]).does(500).holds(100, 1).does(600)
    expect(one.view).toMatchObject({ phase: 'rest', silent: false })
    one.does(REST_MS)
    expect(one.view).toMatchObject({ phase: 'ask', aside: [] })
    one.taps(1)
    expect(one.view.phase).toBe('done')
  })

  it('is not waited for for ever: a bit that never rests is left aside', () => {
    let n = 0
    const one = new User([button(0), button(1)], asks, [0]).does(6 * REST_MS, () => [++n & 1])
    expect(one.view).toMatchObject({ phase: 'ask', aside: [button(0)] })
  })

  it('with a button held is told by a press that does not end', () => {
    const one = new User([button(0)], asks, [0]).holds(1300, 1).does(3000)
    expect(one.view).toMatchObject({ step: 'pressed', long: false })
    one.does(2000)
    expect(one.view).toMatchObject({ step: 'pressed', seen: button(0), long: true })
    one.learner.restAgain(one.nowMs)
    one.does(1300)
    expect(one.view).toMatchObject({ step: 'waiting', long: false })
    one.taps(1)
    expect(one.view.phase).toBe('done')
  })
})

describe('a pad that falls silent although it sent all the time', () => {
  it('is taken for lost once, and not again when it was only silent', () => {
    const one = new User([button(0)], [press('face-south')], [0]).does(1300).silent(2000)
    expect(one.view.phase).toBe('lost')
    one.does(300).silent(5000)
    expect(one.view).toMatchObject({ phase: 'ask', step: 'waiting' })
    // One that was unplugged is lost whenever it is.
    one.learner.gone(one.nowMs)
    expect(one.view.phase).toBe('lost')
  })

  it('is taken for lost again where it was unplugged meanwhile', () => {
    const one = new User([button(0)], [press('face-south')], [0]).does(1300).silent(2000)
    one.learner.gone(one.nowMs)
    one.does(300).silent(2000)
    expect(one.view.phase).toBe('lost')
  })
})

describe('an axis of few values', () => {
  it('holds nothing at rest, each end its own way, at whatever values they stand and however often it reports', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        // Beside a long side a very short one counts as noise.
        fc.integer({ min: 0, max: 40 }),
        // The far end stays within eight bits.
        fc.integer({ min: -60, max: 47 }),
        fc.constantFrom(1, 8),
        (below, more, middle, periodMs) => {
          const above = below + (more % (below + 1))
          const place: ReportPlace = {
            kind: 'axis',
            field: { report: 0, bit: 0, bits: 8, signed: true },
            count: 1,
            least: middle - below,
            most: middle + above,
          }
          const asks = [press('dpad-left'), press('dpad-right')]
          const ends = [middle - below, middle + above] as const
          const one = new User([place], asks, [middle & 255], periodMs).does(1300)
          for (const end of ends) one.taps(end & 255)
          const reader = new PadReader({ extractors: one.outcome.layout?.extractors ?? [] })
          const held = (value: number) => controlsIn(reader.report(Uint8Array.of(value & 255)).controls)
          expect([held(ends[0]), held(middle), held(ends[1]), held(middle)]).toEqual([
            ['dpad-left'],
            [],
            ['dpad-right'],
            [],
          ])
        },
      ),
      { numRuns: 60 },
    )
  })
})
