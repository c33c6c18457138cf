import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import { StickPoint } from '../../../src/ui/stick/stick-point.svelte.ts'
import { StickTrail } from '../../../src/ui/stick/stick-trail.svelte.ts'

const at = (degrees: number, radius = 30_000) => ({
  x: Math.round(radius * Math.cos((degrees * Math.PI) / 180)),
  y: Math.round(-radius * Math.sin((degrees * Math.PI) / 180)),
})

describe('a point on the plane of a stick', () => {
  it('remembers what it held when it moves, and forgets it when it jumps', () => {
    const point = new StickPoint(() => USUAL_STICK)
    // Between 15.32° and 29.68° what is held stays (the usual stick); the line from the middle is at 22.5°.
    point.move(at(0))
    expect(point.held).toBe(8)
    point.move(at(28))
    expect(point.held).toBe(8)
    point.move(at(31))
    expect(point.held).toBe(9)
    point.move(at(17))
    expect(point.held).toBe(9)
    point.jump(at(17))
    expect(point.held).toBe(8)
    point.jump(at(28))
    expect(point.held).toBe(9)
  })

  it('stays held down to the line of letting go', () => {
    const point = new StickPoint(() => USUAL_STICK)
    point.move(at(90, 13_000))
    expect(point.held).toBe(0)
    point.move(at(90, 15_000))
    point.move(at(90, 13_000))
    expect(point.held).toBe(1)
    point.move(at(90, 11_000))
    expect(point.held).toBe(0)
  })

  it('is judged anew when the settings change, and tells whether it moved', () => {
    let settings = USUAL_STICK
    const point = new StickPoint(() => settings)
    expect(point.move(at(10))).toBe(true)
    expect(point.move(at(10))).toBe(false)
    expect(point.polar.degrees).toBeCloseTo(10, 2)
    settings = { ...USUAL_STICK, innerPercent: 95, outerPercent: 100 }
    expect(new StickPoint(() => settings).move(at(10))).toBe(true)
  })
})

describe('a trail', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  it('is short, and goes when the stick rests', () => {
    const trail = new StickTrail()
    for (let x = 0; x < 40; x++) trail.add({ x, y: 0 })
    expect([trail.places.length, trail.places[0]?.x, trail.places.at(-1)?.x]).toEqual([16, 24, 39])
    vi.advanceTimersByTime(399)
    trail.add({ x: 40, y: 0 })
    vi.advanceTimersByTime(399)
    expect(trail.places.length).toBe(16)
    vi.advanceTimersByTime(1)
    expect(trail.places).toEqual([])
    trail.add({ x: 1, y: 1 })
    trail.end()
    expect(vi.getTimerCount()).toBe(0)
  })
})
