import { describe, expect, it } from 'vitest'
import { placesOfOpaqueReport } from './opaque-report.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { LEFT_STICK, User, axis as byteAxis, button, press } from './user.ts'

/** Where the learner draws its lines, each seen from both of its sides by what a user does and is told. */

const PERIOD_MS = 10
const ASKS = [press('face-south'), press('face-east')]
const TRIGGER = [press('trigger-left'), press('face-south')]

/** An axis from 0 to 200, so that half a percent is a step. */
const axis = (byte: number): ReportPlace => ({ ...byteAxis(byte), most: 200 })
const user = (places: readonly ReportPlace[], rest: readonly number[], asks = ASKS) =>
  new User(places, asks, rest, PERIOD_MS).does(1300)

describe('a press', () => {
  it('lasts for 60 ms', () => {
    const after = (ms: number) =>
      user([button(0)], [0])
        .holds(ms, 1)
        .does(300).view.asked
    expect([50, 60].map(after)).toEqual([0, 1])
  })

  it('leaves the rest by three tenths of the range', () => {
    const step = (value: number) => user([axis(0)], [0]).holds(100, value).view.step
    expect([59, 60].map(step)).toEqual(['waiting', 'pressed'])
  })

  it('is over below two tenths of the range', () => {
    const asked = (value: number) =>
      user([axis(0)], [0])
        .holds(200, 200)
        .holds(1000, value).view.asked
    expect([40, 39].map(asked)).toEqual([0, 1])
  })

  it('beside the end of a range counts against a quarter of it', () => {
    const step = (rest: number) => user([axis(0)], [rest]).holds(100, 200).view.step
    expect([186, 185].map(step)).toEqual(['waiting', 'pressed'])
  })

  it('goes twice as far as the noise is wide', () => {
    const noisy = (value: number) =>
      new User([axis(0)], ASKS, [100], PERIOD_MS)
        .does(1300, (share) => [Math.round(share * 130) % 2 === 0 ? 80 : 120])
        .does(300)
        .holds(50, value).view.step
    expect([179, 180].map(noisy)).toEqual(['waiting', 'pressed'])
  })
})

describe('two that moved', () => {
  it('were pressed at once from half of the time on', () => {
    const step = (ms: number) =>
      user([button(0), button(1)], [0])
        .holds(ms, 3)
        .holds(200 - ms, 1)
        .does(300).view
    expect(step(90)).toMatchObject({ asked: 1 })
    expect(step(100)).toMatchObject({ asked: 0, step: 'two' })
  })

  it('were pushed at once from four fifths of the way on', () => {
    const view = (value: number) => user([axis(0), axis(1)], [100, 100], LEFT_STICK).taps(value, 200).view
    expect(view(179)).toMatchObject({ asked: 1 })
    expect(view(180)).toMatchObject({ asked: 0, step: 'two' })
  })

  it('are a trigger and the click at its end, where the bit was there for less than three fifths of the time', () => {
    const taken = (ms: number) =>
      user([axis(0), button(8)], [0, 0], TRIGGER)
        .holds(200 - ms, 200, 0)
        .holds(ms, 200, 1)
        .does(300).view.answers[0]?.finding?.place
    expect([110, 120].map(taken)).toEqual([axis(0), button(8)])
  })
})

describe('a rest', () => {
  const asideAfter = (places: readonly ReportPlace[], values: readonly number[]) =>
    new User(places, ASKS, [0], PERIOD_MS).does(1300, (share) => {
      const k = Math.min(values.length - 1, Math.floor(share * 13))
      return [values[k] ?? 0]
    }).view.aside

  it('is none where more than a quarter of the range goes to and fro', () => {
    const aside = (value: number) => asideAfter([axis(0)], [0, value, 0, value]).length
    expect([50, 51].map(aside)).toEqual([0, 1])
  })

  it('is a counter’s from six steps alike on', () => {
    const aside = (steps: number) =>
      asideAfter(
        [axis(0)],
        Array.from({ length: steps + 1 }, (_, k) => k),
      ).length
    expect([5, 6].map(aside)).toEqual([0, 1])
  })

  it('that drifts is followed, by three hundredths of the range a second', () => {
    const step = (perSecond: number, seconds: number) =>
      user([axis(0)], [0]).does(1000 * seconds, (share) => [Math.floor(share * perSecond * seconds)]).view
        .step
    expect(step(6, 25)).toBe('waiting')
    expect(step(12, 10)).toBe('pressed')
  })
})

describe('an undescribed byte', () => {
  const places = placesOfOpaqueReport(0, 1)
  /** What was taken, or what is thought of first where two moved. */
  const chosen = ({ view }: User) => view.seen ?? view.answers[0]?.finding?.place
  const find = (kind: ReportPlace['kind'], bit: number, signed = false) =>
    places.find((place) => place.kind === kind && place.field.bit === bit && place.field.signed === signed)
  const rested = (values: readonly number[]) =>
    new User(places, ASKS, values.slice(-1), PERIOD_MS).does(1300, (share) => [
      values[Math.min(values.length - 1, Math.floor(share * 13))] ?? 0,
    ]).view.aside

  it('that had six values at rest is a number, and its bits are no buttons', () => {
    expect(rested([0, 2, 1, 4, 3])).not.toContain(find('raw-bit', 7))
    expect(rested([0, 2, 1, 4, 3, 5])).toContain(find('raw-bit', 7))
  })

  it('that had four values in one press is a number', () => {
    const kind = (...values: readonly number[]) => {
      const one = user(places, [0])
      for (const value of values) one.holds(80, value)
      return chosen(one.does(300))?.kind
    }
    expect(kind(0x50, 0xf0)).toBe('raw-bit')
    expect(kind(0x50, 0xd0, 0xf0)).toBe('raw-byte')
  })

  it('has a sign only where it rests less than half of the way from 0', () => {
    expect(rested([63])).not.toContain(find('raw-byte', 0, true))
    expect(rested([64])).toContain(find('raw-byte', 0, true))
  })

  it('with two bits that moved has the steadier one pressed: a change weighs 20 ms', () => {
    /** Bit 0 is there 300 ms in all, in so many pieces; bit 1 for the first 150 ms. */
    const seen = (pieces: number) => {
      const one = user(places, [0])
      const fromMs = one.nowMs
      const second = () => (one.nowMs - fromMs <= 150 ? 2 : 0)
      for (let k = 0; k < pieces; k++)
        one.does(300 / pieces, () => [1 | second()]).does(PERIOD_MS, () => [second()])
      return chosen(one.does(300))?.field.bit
    }
    expect([3, 5].map(seen)).toEqual([0, 1])
  })
})
