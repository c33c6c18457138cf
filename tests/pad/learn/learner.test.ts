import { describe, expect, it } from 'vitest'
import { CONTROLS, controlsIn } from '../../../src/pad/controls.ts'
import type { Control } from '../../../src/pad/controls.ts'
import { PadReader } from '../../../src/pad/extract.ts'
import { gamepadReport } from '../../../src/pad/gamepad-report.ts'
import type { Field } from '../../../src/pad/layout/schema.ts'
import { ASKS } from '../../../src/pad/learn/controls-to-ask.ts'
import type { Ask } from '../../../src/pad/learn/controls-to-ask.ts'
import { learnedLayout } from '../../../src/pad/learn/layout.ts'
import { Learner } from '../../../src/pad/learn/learner.ts'
import { GAMEPAD_PLACES } from '../../../src/pad/learn/places.ts'
import { placesOfOpaqueReport } from './opaque-report.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'

const PAD = { via: 'hid', vendorId: 1, productId: 2, descriptorCrc32: null } as const

const field = (bit: number, bits: number): Field => ({ report: 0, bit, bits, signed: false })
const button = (bit: number): ReportPlace => ({
  kind: 'button',
  field: field(bit, 1),
  count: 1,
  least: 0,
  most: 1,
})
const byteAxis = (at: number): ReportPlace => ({
  kind: 'axis',
  field: field(8 * at, 8),
  count: 1,
  least: 0,
  most: 255,
})
const hat = (bit: number, least = 0): ReportPlace => ({
  kind: 'hat',
  field: field(bit, 4),
  count: 1,
  least,
  most: least + 7,
})

const press = (control: Control): Ask => ({ kind: 'press', control })

/** A learner and a hand that sets bytes; a report every eight milliseconds. */
class Desk {
  readonly learner: Learner
  nowMs = 0
  readonly #rest: readonly number[]
  /** What is different from rest, by byte; a function gets the number of the report. */
  #sent = 0

  constructor(places: readonly ReportPlace[], asks: readonly Ask[], rest: readonly number[]) {
    this.learner = new Learner(places, 0, asks)
    this.#rest = rest
  }

  /** Sends the same for a while; bytes may follow the count of reports. */
  hold(ms: number, change: Readonly<Record<number, number | ((n: number) => number)>> = {}): this {
    for (const end = this.nowMs + ms; this.nowMs < end;) {
      this.nowMs += 8
      const n = this.#sent++
      const bytes = Uint8Array.from(this.#rest, (value, k) => {
        const now = change[k] ?? value
        return typeof now === 'number' ? now : now(n)
      })
      this.learner.report(0, bytes, this.nowMs)
    }
    return this
  }

  /** Time without a report. */
  silence(ms: number): this {
    for (const end = this.nowMs + ms; this.nowMs < end;) this.learner.tick((this.nowMs += 50))
    return this
  }

  press(change: Readonly<Record<number, number | ((n: number) => number)>>, ms = 200): this {
    return this.hold(200).hold(ms, change).hold(200)
  }

  get view() {
    return this.learner.view
  }

  get outcome() {
    return learnedLayout(this.learner.learned, 'Learned', PAD)
  }
}

const SOUTH_EAST = [press('face-south'), press('face-east')]

describe('the learner', () => {
  it('asks for every control once, the port’s own first, and rolls what was pushed', () => {
    const asked = ASKS.flatMap((ask) => (ask.kind === 'press' ? [ask.control] : []))
    const isDirection = (control: Control) => /^stick-(left|right)-(up|down|left|right)$/.test(control)
    expect(asked.toSorted()).toEqual(CONTROLS.filter((control) => !isDirection(control)).toSorted())
    expect(asked.slice(0, 4)).toEqual(['dpad-up', 'dpad-down', 'dpad-left', 'dpad-right'])
    for (const stick of ['left', 'right'] as const) {
      const ways = ASKS.flatMap((ask) => (ask.kind !== 'press' && ask.stick === stick ? [ask.kind] : []))
      expect(ways).toEqual(['push', 'push', 'roll'])
    }
  })

  it('watches the rest first, then shows what it sees and waits for it to be let go', () => {
    const desk = new Desk([button(0), button(1)], SOUTH_EAST, [0])
    desk.hold(900)
    expect(desk.view).toMatchObject({ phase: 'rest', ask: null })
    desk.hold(300)
    expect(desk.view).toMatchObject({
      phase: 'ask',
      step: 'waiting',
      ask: press('face-south'),
      asked: 0,
      of: 2,
    })
    desk.hold(200, { 0: 2 })
    expect(desk.view).toMatchObject({ step: 'pressed', seen: button(1) })
    desk.hold(5000, { 0: 2 })
    expect(desk.view.asked).toBe(0)
    desk.hold(200)
    expect(desk.view).toMatchObject({ ask: press('face-east'), asked: 1 })
  })

  it('takes no knock for a press', () => {
    const desk = new Desk([button(0)], SOUTH_EAST, [0]).hold(1200)
    desk.hold(40, { 0: 1 }).hold(300)
    expect(desk.view).toMatchObject({ step: 'waiting', asked: 0 })
  })

  it('tells where a place is already taken, and takes it only when told to', () => {
    const desk = new Desk([button(0)], SOUTH_EAST, [0]).hold(1200).press({ 0: 1 }).press({ 0: 1 })
    expect(desk.view).toMatchObject({ step: 'taken', ask: press('face-east'), takenBy: press('face-south') })
    desk.learner.again(desk.nowMs)
    desk.press({ 0: 1 })
    expect(desk.view.step).toBe('taken')
    desk.learner.take(desk.nowMs)
    expect(desk.view.phase).toBe('done')
    expect(desk.outcome.remarks).toEqual([
      { kind: 'shared', ask: press('face-east'), with: press('face-south') },
    ])
    expect(desk.outcome.layout?.extractors.length).toBe(2)
  })

  it('skips, goes back and forgets, and ends when told to', () => {
    const asks = [press('face-south'), press('face-east'), press('face-west')]
    const desk = new Desk([button(0), button(1)], asks, [0]).hold(1200)
    desk.learner.skip(desk.nowMs)
    desk.press({ 0: 2 })
    expect(desk.view).toMatchObject({ asked: 2 })
    desk.learner.back(desk.nowMs)
    expect(desk.view).toMatchObject({ asked: 1, answers: [] })
    desk.press({ 0: 1 })
    desk.learner.finish(desk.nowMs)
    expect(desk.view.phase).toBe('done')
    expect(desk.outcome.layout?.extractors).toEqual([
      { kind: 'threshold', control: 'face-east', field: field(0, 1), press: 1, release: 0 },
    ])
  })

  it('gives no layout where nothing was found', () => {
    const desk = new Desk([button(0)], SOUTH_EAST, [0]).hold(1200)
    desk.learner.finish(desk.nowMs)
    expect(desk.outcome).toEqual({ layout: null, remarks: [] })
  })

  it('keeps what it learned when the pad vanishes, and goes on when it is back', () => {
    const desk = new Desk([button(0), button(1)], SOUTH_EAST, [0]).hold(1200).press({ 0: 1 })
    desk.hold(100, { 0: 2 })
    desk.learner.gone(desk.nowMs)
    expect(desk.view).toMatchObject({ phase: 'lost', ask: press('face-east') })
    desk.silence(60_000)
    expect(desk.view.phase).toBe('lost')
    desk.hold(300)
    expect(desk.view).toMatchObject({ phase: 'ask', step: 'waiting', asked: 1 })
    desk.press({ 0: 2 })
    expect(desk.view).toMatchObject({ phase: 'done', answers: [{}, {}] })
  })

  it('notices by itself that a pad fell silent which sends all the time', () => {
    const desk = new Desk([button(0)], SOUTH_EAST, [0]).hold(1200)
    desk.silence(900)
    expect(desk.view.phase).toBe('ask')
    desk.silence(300)
    expect(desk.view.phase).toBe('lost')
    // One that never sends at rest is not lost for that.
    const quiet = new Desk([button(0)], SOUTH_EAST, [0]).silence(1100)
    expect(quiet.view).toMatchObject({ phase: 'rest', silent: true })
    quiet.hold(150, { 0: 1 }).hold(8).silence(2000)
    expect(quiet.view).toMatchObject({ phase: 'ask', step: 'waiting' })
    quiet.silence(10_000)
    expect(quiet.view.phase).toBe('ask')
  })

  it('begins the rest anew where the pad vanished meanwhile, or the user asks for it', () => {
    const desk = new Desk([button(0)], SOUTH_EAST, [0]).hold(500)
    desk.learner.gone(desk.nowMs)
    desk.hold(900)
    expect(desk.view.phase).toBe('rest')
    desk.hold(300)
    expect(desk.view.phase).toBe('ask')

    // An axis that was moved meanwhile is no longer looked at, until the rest is taken anew.
    const moved = new Desk([byteAxis(0)], SOUTH_EAST, [0]).hold(500).hold(100, { 0: 200 }).hold(700)
    expect(moved.view.aside).toEqual([byteAxis(0)])
    moved.learner.restAgain(moved.nowMs)
    moved.hold(1300).press({ 0: 200 })
    expect(moved.view).toMatchObject({ aside: [], asked: 1 })
  })

  it('sets aside what never rests, and tells', () => {
    const places = [button(0), byteAxis(1), byteAxis(2), byteAxis(3)]
    const desk = new Desk(places, SOUTH_EAST, [0, 0, 0, 128])
    const busy = {
      1: (n: number) => n,
      2: (n: number) => (n * n * 31) % 256,
      3: (n: number) => 128 + (n % 3),
    }
    desk.hold(1200, busy)
    expect(desk.view.aside).toEqual([byteAxis(1), byteAxis(2)])
    desk
      .hold(200, busy)
      .hold(200, { ...busy, 0: 1 })
      .hold(200, busy)
    expect(desk.outcome.remarks).toEqual([
      { kind: 'aside', place: byteAxis(1), why: 'counts' },
      { kind: 'aside', place: byteAxis(2), why: 'restless' },
    ])
    expect(desk.outcome.layout?.extractors.map((one) => one.field)).toEqual([field(0, 1)])
  })

  it('puts up with what does not come back: a bit that changes with every press', () => {
    const desk = new Desk([button(0), button(7)], SOUTH_EAST, [0]).hold(1200)
    desk.hold(200, { 0: 0x81 }).hold(1900, { 0: 0x80 }).hold(300, { 0: 0x80 })
    expect(desk.view).toMatchObject({ asked: 1, step: 'waiting', aside: [button(7)] })
    expect(desk.view.answers[0]?.finding?.place).toEqual(button(0))
  })

  it('takes where an axis comes to stand for its new rest', () => {
    const desk = new Desk([byteAxis(0), button(8)], SOUTH_EAST, [0, 0]).hold(1200)
    desk.hold(200, { 0: 90, 1: 1 }).hold(2500, { 0: 90 })
    expect(desk.view).toMatchObject({ step: 'waiting', asked: 1 })
    desk.hold(200, { 0: 250 }).hold(300, { 0: 90 })
    expect(desk.view.answers[1]?.finding?.trace).toMatchObject({ rest: 90, value: 250 })
  })

  it('takes noise that grows for no press', () => {
    const desk = new Desk([byteAxis(0)], SOUTH_EAST, [128])
    desk.hold(1200, { 0: (n) => 98 + (n % 2) * 60 }).hold(2000, { 0: (n) => (n % 20 < 10 ? 128 : 180) })
    expect(desk.view).toMatchObject({ step: 'waiting', asked: 0 })
  })

  it('follows a slow drift, and a counter that steps twice a second', () => {
    const desk = new Desk([byteAxis(0), button(8)], SOUTH_EAST, [0, 0])
    const drifting = { 0: (n: number) => Math.floor(n / 62) }
    desk.hold(60_000, drifting)
    expect(desk.view).toMatchObject({ asked: 0, step: 'waiting' })
    desk.hold(200, { ...drifting, 1: 1 }).hold(300, drifting)
    expect(desk.view.answers[0]?.finding?.place).toEqual(button(8))
  })
})

describe('an analogue trigger', () => {
  const asks = [press('trigger-left'), press('face-south')]
  const ramp = (from: number) => (n: number) => Math.min(200, (n - from) * 20)

  it('is held from half of its way on, with room for its noise', () => {
    const desk = new Desk([byteAxis(0)], asks, [10])
    const noisy = { 0: (n: number) => 10 + (n % 2) * 12 }
    desk.hold(1400, noisy).hold(250, { 0: 200 }).hold(300, noisy)
    const [one] = desk.outcome.layout?.extractors ?? []
    // From a rest of 16, noise 12 wide, to 200.
    expect(one).toEqual({
      kind: 'threshold',
      control: 'trigger-left',
      field: field(0, 8),
      press: 108,
      release: 90,
    })
  })

  it('that has a bit as well takes the bit, unless that comes at the very end', () => {
    const early = new Desk([byteAxis(0), button(8)], asks, [0, 0]).hold(1200)
    early
      .hold(200)
      .hold(80, { 0: ramp(175) })
      .hold(200, { 0: 200, 1: 1 })
      .hold(200)
    expect(early.outcome.remarks).toEqual([
      { kind: 'two-places', control: 'trigger-left', taken: button(8), other: byteAxis(0) },
    ])
    const late = new Desk([byteAxis(0), button(8)], asks, [0, 0]).hold(1200)
    late.hold(200).hold(200, { 0: 200 }).hold(80, { 0: 200, 1: 1 }).hold(100, { 0: 200 }).hold(200)
    expect(late.outcome.remarks).toEqual([
      { kind: 'two-places', control: 'trigger-left', taken: byteAxis(0), other: button(8) },
    ])
  })

  it('that comes to half of its range only is told', () => {
    const desk = new Desk([byteAxis(0)], asks, [0]).hold(1200).press({ 0: 128 })
    expect(desk.outcome.remarks).toEqual([{ kind: 'weak', control: 'trigger-left', percent: 50 }])
  })
})

describe('a cross', () => {
  const dpad = (['dpad-up', 'dpad-down', 'dpad-left', 'dpad-right'] as const).map(press)
  const learn = (place: ReportPlace, rest: number, values: readonly number[]) => {
    const desk = new Desk([place], dpad, [rest]).hold(1200)
    for (const value of values) desk.press({ 0: value })
    return desk.outcome
  }

  it('on a hat becomes one hat, even where a thumb slipped', () => {
    const found = { kind: 'hat', cross: 'dpad', field: field(0, 4), step: 1, positions: 8 }
    expect(learn(hat(0), 8, [0, 4, 6, 2]).layout?.extractors).toEqual([{ ...found, first: 0 }])
    expect(learn(hat(0, 1), 0, [1, 5, 7, 3]).layout?.extractors).toEqual([{ ...found, first: 1 }])
    expect(learn(hat(0), 8, [1, 4, 6, 2]).layout?.extractors).toEqual([{ ...found, first: 0 }])
  })

  it('on a hat in no order is taken value by value, and told', () => {
    const { layout, remarks } = learn(hat(0), 8, [0, 1, 2, 3])
    expect(remarks).toEqual([{ kind: 'odd-hat', cross: 'dpad' }])
    const reader = new PadReader({ extractors: layout?.extractors ?? [] })
    const held = [0, 1, 2, 3, 8].map((value) => controlsIn(reader.report(Uint8Array.of(value)).controls))
    expect(held).toEqual([['dpad-up'], ['dpad-down'], ['dpad-left'], ['dpad-right'], []])
  })

  it('on two axes becomes thresholds on either side', () => {
    const desk = new Desk([byteAxis(0), byteAxis(1)], dpad, [127, 127]).hold(1200)
    desk.press({ 1: 0 }).press({ 1: 255 }).press({ 0: 0 }).press({ 0: 255 })
    const reader = new PadReader({ extractors: desk.outcome.layout?.extractors ?? [] })
    const held = (x: number, y: number) => controlsIn(reader.report(Uint8Array.of(x, y)).controls)
    expect(held(127, 127)).toEqual([])
    expect(held(0, 0)).toEqual(['dpad-up', 'dpad-left'])
    expect(held(255, 255)).toEqual(['dpad-down', 'dpad-right'])
  })
})

describe('a stick', () => {
  const asks = ASKS.filter((ask) => ask.kind !== 'press' && ask.stick === 'left')
  /** Round the edge, `reach` out to each side. */
  const round = (from: number, least: number, most: number, turn: number) => (n: number) => {
    const out = Math.sin((2 * Math.PI * (n - from)) / 100 + turn)
    return Math.round(128 + out * (out < 0 ? 128 - least : most - 128))
  }
  const desk = () =>
    new Desk([byteAxis(0), byteAxis(1)], asks, [128, 128]).hold(1200).press({ 1: 10 }).press({ 0: 250 })

  it('is pushed, then rolled until it went round often enough', () => {
    const one = desk()
    expect(one.view.ask).toEqual({ kind: 'roll', stick: 'left' })
    one.hold(200).hold(1600, { 0: round(0, 3, 252, 0), 1: round(0, 5, 250, Math.PI / 2) })
    expect(one.view.turns).toBe(2)
    one.hold(300)
    expect(one.view.phase).toBe('ask')
    one.hold(1600, { 0: round(0, 3, 252, 0), 1: round(0, 5, 250, Math.PI / 2) }).hold(300)
    expect(one.view.phase).toBe('done')
    const { layout, remarks } = one.outcome
    expect(remarks).toEqual([])
    expect(layout?.extractors).toEqual([
      { kind: 'axis', stick: 'left', axis: 'y', field: field(8, 8), low: 5, centre: 128, high: 250 },
      { kind: 'axis', stick: 'left', axis: 'x', field: field(0, 8), low: 3, centre: 128, high: 252 },
    ])
  })

  it('tells of an end that is not reached', () => {
    const one = desk()
    one
      .hold(200)
      .hold(3600, { 0: round(0, 60, 252, 0), 1: round(0, 5, 250, Math.PI / 2) })
      .hold(300)
    expect(one.outcome.remarks).toEqual([
      { kind: 'weak-end', stick: 'left', axis: 'x', end: 'low', percent: 53 },
    ])
  })

  it('tells of a rest that is another one each time', () => {
    const one = new Desk([byteAxis(0), byteAxis(1)], asks, [128, 128]).hold(1200)
    one.press({ 1: 10 })
    one.hold(300, { 0: 140 }).hold(200, { 0: 250 }).hold(300, { 0: 118 })
    one.learner.finish(one.nowMs)
    expect(one.outcome.remarks).toContainEqual({ kind: 'drifts', stick: 'left', axis: 'x', percent: 17 })
  })

  it('that was not rolled has the ends of its fields', () => {
    const one = desk()
    one.learner.skip(one.nowMs)
    const { layout, remarks } = one.outcome
    expect(remarks).toEqual([{ kind: 'not-rolled', stick: 'left' }])
    expect(layout?.extractors).toMatchObject([
      { axis: 'y', low: 10, centre: 128, high: 255 },
      { axis: 'x', low: 0, centre: 128, high: 250 },
    ])
  })

  it('of which one way is missing is told, and not rolled', () => {
    const one = new Desk([byteAxis(0), byteAxis(1)], asks, [128, 128]).hold(1200).press({ 1: 10 })
    one.learner.skip(one.nowMs)
    expect(one.view.phase).toBe('done')
    expect(one.outcome.remarks).toEqual([{ kind: 'half-stick', stick: 'left' }])
  })

  it('that is a hat becomes one', () => {
    const one = new Desk([hat(0)], asks, [15]).hold(1200).press({ 0: 0 }).press({ 0: 2 })
    expect(one.view.phase).toBe('done')
    expect(one.outcome.layout?.extractors).toEqual([
      { kind: 'hat', cross: 'stick-left', field: field(0, 4), first: 0, step: 1, positions: 8 },
    ])
  })
})

describe('undescribed bytes', () => {
  it('give up a button beside a counter of four bits', () => {
    const desk = new Desk(placesOfOpaqueReport(0, 1), SOUTH_EAST, [0])
    const counting = (bits: number) => ({ 0: (n: number) => ((n & 15) << 4) | bits })
    desk.hold(1200, counting(0)).hold(200, counting(0)).hold(200, counting(2)).hold(300, counting(0))
    expect(desk.view.answers[0]?.finding?.place.field).toEqual(field(1, 1))
  })

  it('leave three buttons of a cross as buttons', () => {
    const asks = (['dpad-up', 'dpad-right', 'dpad-left'] as const).map(press)
    const desk = new Desk(placesOfOpaqueReport(0, 1), asks, [0]).hold(1200)
    desk.press({ 0: 1 }).press({ 0: 2 }).press({ 0: 4 })
    expect(desk.outcome.layout?.extractors.map((one) => [one.kind, one.field.bit, one.field.bits])).toEqual([
      ['threshold', 0, 1],
      ['threshold', 1, 1],
      ['threshold', 2, 1],
    ])
  })
})

describe('a browser’s gamepad', () => {
  it('is learned like any other pad', () => {
    const learner = new Learner(GAMEPAD_PLACES, 0, SOUTH_EAST)
    let nowMs = 0
    const hold = (ms: number, held: number) => {
      for (const end = nowMs + ms; nowMs < end;) {
        nowMs += 16
        const buttons = Array.from({ length: 12 }, (_, k) => ({
          pressed: k === held,
          value: Number(k === held),
        }))
        learner.report(0, gamepadReport({ buttons, axes: [0.01, 0, -1, 0] }), nowMs)
      }
    }
    hold(1300, -1)
    for (const k of [7, 3]) [-1, k, -1].forEach((held) => hold(250, held))
    const { layout } = learnedLayout(learner.learned, 'Learned', { ...PAD, via: 'gamepad' })
    const reader = new PadReader({ extractors: layout?.extractors ?? [] })
    const buttons = Array.from({ length: 12 }, (_, k) => ({ pressed: k === 7, value: Number(k === 7) }))
    expect(controlsIn(reader.report(gamepadReport({ buttons, axes: [] })).controls)).toEqual(['face-south'])
  })
})
