import { describe, expect, it } from 'vitest'
import { decide } from '../../../src/pad/learn/decide.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'
import { Watch } from '../../../src/pad/learn/watch.ts'
import { placesOfOpaqueReport } from './opaque-report.ts'
import { LEFT_STICK, button, press } from './user.ts'

const SOUTH = press('face-south')
const PLACES = placesOfOpaqueReport(0, 2)
const raw = (kind: ReportPlace['kind'], bit: number, signed = false): ReportPlace => {
  const place = PLACES.find(
    (one) => one.kind === kind && one.field.bit === bit && one.field.signed === signed,
  )
  if (!place) throw new Error(`no ${kind} at ${bit}`)
  return place
}

type Held = readonly [reported: readonly [number, number], ms: number]

/** Places that rested at 0, after a press that came to these reports of two bytes, each for so long. */
function pressed(places: readonly ReportPlace[], ...held: readonly Held[]): Watch[] {
  return places.map((place) => {
    const watch = new Watch(place)
    watch.beginRest()
    watch.take(Uint8Array.of(0, 0), true)
    watch.endRest()
    watch.beginPress()
    for (const [reported, ms] of held) {
      watch.take(Uint8Array.of(...reported), false)
      watch.pass(ms, false)
    }
    watch.take(Uint8Array.of(0, 0), false)
    return watch
  })
}

describe('of two undescribed bytes', () => {
  const bytes = [raw('raw-byte', 0), raw('raw-byte', 8)]
  const taken = (...held: readonly Held[]) => decide(SOUTH, pressed(bytes, ...held))?.place.field.bit

  it('a way that is half as long needs twice the time', () => {
    expect(taken([[200, 100], 100], [[0, 100], 90])).toBe(0)
    expect(taken([[200, 100], 100], [[0, 100], 110])).toBe(8)
  })

  it('a way to and fro counts by how straight it is', () => {
    // The first one goes 200 up and 400 in all, and then the same again: half as straight.
    expect(taken([[200, 110], 100], [[0, 110], 1], [[200, 110], 100])).toBe(8)
    expect(taken([[200, 90], 100], [[100, 90], 1], [[200, 90], 100])).toBe(0)
  })
})

describe('of two undescribed bits', () => {
  it('a change weighs 20 ms', () => {
    const taken = (ms: number) =>
      decide(
        SOUTH,
        pressed(
          [raw('raw-bit', 0), raw('raw-bit', 8)],
          [[1, 1], 100],
          [[0, 1], 1],
          [[1, 1], 100],
          [[1, 0], ms],
        ),
      )?.place.field.bit
    // Bit 0 changes four times, bit 8 twice: 40 ms more that it has to be there.
    expect([35, 45].map(taken)).toEqual([8, 0])
  })
})

describe('a byte that moved', () => {
  const kind = (value: number) =>
    decide(SOUTH, pressed([raw('raw-byte', 0), raw('raw-bit', 0), raw('raw-bit', 5)], [[value, 0], 100]))
      ?.place.kind

  it('in both its halves at once is a number, in one of them it is bits', () => {
    expect([0x01, 0x60, 0x61].map(kind)).toEqual(['raw-bit', 'raw-bit', 'raw-byte'])
  })

  it('with a sign is an axis, and no button', () => {
    const signed = () => pressed([raw('raw-byte', 0, true)], [[100, 0], 100])
    expect(decide(SOUTH, signed())).toBe(null)
    expect(decide(LEFT_STICK[0] ?? SOUTH, signed())?.place).toEqual(raw('raw-byte', 0, true))
  })
})

it('two buttons are rivals from half of the time on', () => {
  const rival = (ms: number) =>
    decide(SOUTH, pressed([button(0), button(1)], [[3, 0], ms], [[1, 0], 200 - ms]))?.rival ?? null
  expect([99, 100].map(rival)).toEqual([null, button(1)])
})
