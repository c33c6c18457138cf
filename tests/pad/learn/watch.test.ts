import { describe, expect, it } from 'vitest'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { Watch } from '../../../src/pad/learn/watch.ts'

/** An axis of 16 bits from 0 to 1000. */
const AXIS: ReportPlace = {
  kind: 'axis',
  field: { report: 0, bit: 0, bits: 16, signed: false },
  count: 1,
  least: 0,
  most: 1000,
}
/** Eight positions from 0 on; anything else is its rest. */
const HAT: ReportPlace = {
  kind: 'hat',
  field: { report: 0, bit: 0, bits: 16, signed: false },
  count: 1,
  least: 0,
  most: 7,
}
const bytes = (value: number) => Uint8Array.of(value & 0xff, value >> 8)

/** A place that rests where it is said to, and then is watched during a press. */
function rested(place: ReportPlace, rest: number | null): Watch {
  const watch = new Watch(place)
  watch.beginRest()
  if (rest !== null) watch.take(bytes(rest), true)
  watch.endRest()
  watch.beginPress()
  return watch
}

describe('a rest that drifts', () => {
  it.each([-60, 60])(
    'is followed by three hundredths of the range a second, and no further than %i',
    (by) => {
      const watch = rested(AXIS, 500)
      watch.take(bytes(500 + by), false)
      watch.pass(1000, true)
      expect(watch.rest).toBe(500 + Math.sign(by) * 30)
      watch.pass(60_000, true)
      expect([watch.rest, watch.noise]).toEqual([500 + by, 0])
    },
  )

  it('is not followed while that is not wanted, nor while the place is away', () => {
    const watch = rested(AXIS, 500)
    watch.take(bytes(560), false)
    watch.pass(60_000, false)
    expect(watch.rest).toBe(500)
    watch.take(bytes(900), false)
    watch.pass(60_000, true)
    expect([watch.rest, watch.trace.awayMs]).toEqual([500, 60_000])
  })
})

describe('a hat that is silent at rest', () => {
  it.each([0, 7])('is away in position %i, the first that is heard of it, and back in none', (position) => {
    const watch = rested(HAT, null)
    watch.take(bytes(position), false)
    expect([watch.away, watch.trace.share]).toEqual([true, 1])
    watch.take(bytes(8), false)
    expect(watch.away).toBe(false)
  })

  it('rests in what is no position', () => {
    const watch = rested(HAT, null)
    watch.take(bytes(8), false)
    expect([watch.away, watch.rest]).toEqual([false, 8])
  })
})

describe('what a press leaves', () => {
  it('is straight where it goes there and back, and half as straight where it goes both ways', () => {
    const straight = rested(AXIS, 500)
    for (const value of [700, 900, 500]) straight.take(bytes(value), false)
    expect(straight.trace).toMatchObject({ straightness: 1, changes: 3, values: 3 })
    const wild = rested(AXIS, 500)
    for (const value of [1000, 0, 500]) wild.take(bytes(value), false)
    expect(wild.trace.straightness).toBe(0.5)
  })

  it('is the value of the first end that it came to', () => {
    const watch = rested(AXIS, 500)
    for (const value of [1000, 0, 500]) watch.take(bytes(value), false)
    expect(watch.trace).toMatchObject({ value: 1000, share: 1 })
  })

  it('is no more than all of the way, however far the value goes', () => {
    const watch = rested(AXIS, 500)
    watch.take(bytes(1200), false)
    expect(watch.trace).toMatchObject({ value: 1200, share: 1 })
  })

  it('counts no value that only says what was known', () => {
    const watch = rested(AXIS, 500)
    for (const value of [500, 700, 700, 900]) watch.take(bytes(value), false)
    expect(watch.trace).toMatchObject({ changes: 2, values: 2 })
  })

  it('beside an end of the range is a share of a quarter of it', () => {
    const watch = rested(AXIS, 990)
    watch.take(bytes(1000), false)
    expect(watch.trace.share).toBe(0.04)
  })
})
