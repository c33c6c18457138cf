import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DOWN, LEFT, RIGHT, UP, stickDirection } from '../../../src/pad/stick/direction.ts'
import { stickNumbers } from '../../../src/pad/stick/numbers.ts'
import { noiseBorne, stickSectors } from '../../../src/pad/stick/sectors.ts'
import { USUAL_STICK } from '../../../src/pad/stick/settings.ts'
import type { StickSettings } from '../../../src/pad/stick/settings.ts'
import { arbitraryStick } from '../arbitrary-layout.ts'
import { WORN_STICK, noisyAxis, uniform } from './noise.ts'
import { draws, often } from '../../draws.ts'

const arbAxis = fc.integer({ min: -32767, max: 32767 })
const arbPlace = fc.oneof(
  fc.record({ x: arbAxis, y: arbAxis }),
  fc.record({ x: arbAxis, y: fc.constantFrom(0, 1, -1) }),
  arbAxis.map((x) => ({ x, y: x })),
)
const HELD = [0, UP, DOWN, LEFT, RIGHT, UP | LEFT, UP | RIGHT, DOWN | LEFT, DOWN | RIGHT]
const arbHeld = fc.constantFrom(...HELD)

const hold = (settings: StickSettings, x: number, y: number, before: number): number =>
  stickDirection(stickNumbers(settings), settings.gate, x, y, before)

/** IMAGE.md ("Sticks") in whole numbers without end. */
function naiveDirection(settings: StickSettings, x: number, y: number, before: number): number {
  const numbers = stickNumbers(settings)
  const [ax, ay] = [BigInt(Math.abs(x)), BigInt(Math.abs(y))]
  const hi = ax > ay ? ax : ay
  const lo = ax > ay ? ay : ax
  const limit = BigInt(before === 0 ? numbers.press : numbers.release)
  const far = {
    circle: ax ** 2n + ay ** 2n >= limit ** 2n,
    square: hi >= limit,
    octagon: hi >= limit || 46341n * (ax + ay) >= 65536n * limit,
  }[settings.gate]
  if (!far) return 0
  const count = [UP, DOWN, LEFT, RIGHT].filter((bit) => before & bit).length
  const t = BigInt([numbers.begin, numbers.enter, numbers.leave][count] ?? 0)
  const [sideways, upright] = [x < 0 ? LEFT : RIGHT, y < 0 ? UP : DOWN]
  if (lo * 32768n >= hi * t) return sideways + upright
  if (settings.diagonalPercent === 0 && count === 1) {
    if (before === sideways && ax * 32768n >= ay * BigInt(numbers.leave)) return before
    if (before === upright && ay * 32768n >= ax * BigInt(numbers.leave)) return before
  }
  return ay > ax ? upright : sideways
}

describe('what a stick holds', () => {
  it('is what the page of the image says, word by word', () => {
    fc.assert(
      fc.property(arbitraryStick, arbPlace, arbHeld, (settings, { x, y }, before) => {
        expect(hold(settings, x, y, before)).toBe(naiveDirection(settings, x, y, before))
      }),
      { numRuns: draws(10_000) },
    )
  })

  it('is the same in every mirror, and with the axes exchanged but for the tie', () => {
    const swapSides = (mask: number) => (mask & 3) | ((mask & LEFT) << 1) | ((mask & RIGHT) >> 1)
    const turn = (mask: number) => ((mask & 3) << 2) | (mask >> 2)
    fc.assert(
      fc.property(arbitraryStick, arbPlace, arbHeld, (settings, { x, y }, before) => {
        // A tie, or an axis at 0, has a side by rule.
        fc.pre(x !== 0 && y !== 0 && Math.abs(x) !== Math.abs(y))
        expect(hold(settings, -x, y, swapSides(before))).toBe(swapSides(hold(settings, x, y, before)))
        expect(hold(settings, y, x, turn(before))).toBe(turn(hold(settings, x, y, before)))
      }),
      { numRuns: draws(3000) },
    )
  })

  it('comes once on the way out along a ray, and goes once on the way back', () => {
    fc.assert(
      fc.property(arbitraryStick, arbPlace, (settings, end) => {
        const places = Array.from({ length: 65 }, (_, k) => ({
          x: Math.trunc((end.x * k) / 64),
          y: Math.trunc((end.y * k) / 64),
        }))
        let now = 0
        const seen = [...places, ...places.toReversed()].map(({ x, y }) => {
          now = hold(settings, x, y, now)
          return now !== 0
        })
        const changes = seen.filter((one, k) => k > 0 && one !== seen[k - 1]).length
        expect(changes === 0 || changes === 2).toBe(true)
        expect(seen[0] || seen[seen.length - 1]).toBe(false)
      }),
      { numRuns: draws(1000) },
    )
  })

  it('has only straight directions with no diagonal share', () => {
    fc.assert(
      fc.property(
        arbitraryStick,
        arbPlace,
        fc.constantFrom(0, UP, DOWN, LEFT, RIGHT),
        (any, { x, y }, before) => {
          const settings = { ...any, diagonalPercent: 0 }
          expect([0, UP, DOWN, LEFT, RIGHT]).toContain(hold(settings, x, y, before))
        },
      ),
      { numRuns: draws(2000) },
    )
  })

  it('needs no more than 32 bits without sign', () => {
    fc.assert(
      fc.property(arbitraryStick, (settings) => {
        const { press, enter } = stickNumbers(settings)
        for (const product of [32767 * enter, 2 * 32767 ** 2, 65534 * 46341, press * 0x10000]) {
          expect(product).toBeLessThan(2 ** 32)
        }
      }),
    )
  })
})

/** Whether some held set comes back after another one stood in between. */
function comesBack(held: readonly number[]): boolean {
  const runs = held.filter((mask, k) => k === 0 || mask !== held[k - 1])
  return new Set(runs).size < runs.length
}

describe('noise', () => {
  it('that is borne never brings back what was held before, wherever the stick stands', () => {
    // Places on the lines at which something changes are where it could chatter.
    const arbOnALine = fc
      .tuple(arbitraryStick, fc.nat(7), fc.constantFrom('begun', 'entered', 'left'), fc.boolean())
      .chain(([settings, k, which, end]) => {
        const numbers = stickNumbers(settings)
        const sectors = stickSectors(numbers)
        const arc = sectors[k % sectors.length]?.[which as 'begun' | 'entered' | 'left']
        const angle = (((end ? arc?.fromDegrees : arc?.toDegrees) ?? 0) * Math.PI) / 180
        return fc.constantFrom(numbers.release, numbers.press, 32767).map((radius) => ({
          settings,
          x: Math.round(Math.sin(angle) * radius),
          y: Math.round(-Math.cos(angle) * radius),
        }))
      })
    let changed = 0
    fc.assert(
      fc.property(
        arbOnALine,
        arbHeld,
        fc.array(
          fc.tuple(
            fc.integer({ min: 0, max: 3600 }),
            fc.nat(1000).map((k) => k / 1000),
          ),
          {
            minLength: 4,
            maxLength: 40,
          },
        ),
        ({ settings, x, y }, before, moves) => {
          const most = noiseBorne(stickNumbers(settings), settings.gate)
          // Within a circle of this radius no two places are `most` apart, whole numbers and all.
          const radius = most / 2 - 1
          fc.pre(radius > 1)
          let now = before
          const held = moves.map(([tenths, part]) => {
            const angle = (tenths / 1800) * Math.PI
            const clip = (value: number) => Math.max(-32767, Math.min(32767, Math.trunc(value)))
            now = hold(
              settings,
              clip(x + Math.cos(angle) * radius * Math.sqrt(part)),
              clip(y + Math.sin(angle) * radius * Math.sqrt(part)),
              now,
            )
            return now
          })
          if (new Set(held).size > 1) changed++
          // What was held before the first report may lie far off: it goes at once.
          expect(comesBack(held)).toBe(false)
        },
      ),
      { numRuns: draws(4000) },
    )
    expect(changed).toBeGreaterThan(often(200))
  })

  it('that is a little more does chatter: the bound is not a wide one', () => {
    for (const gate of ['circle', 'square', 'octagon'] as const) {
      for (const settings of [
        { ...USUAL_STICK, gate },
        { ...USUAL_STICK, gate, hysteresisPercent: 40 },
        { ...USUAL_STICK, gate, hysteresisPercent: 40, diagonalPercent: 0 },
      ]) {
        const numbers = stickNumbers(settings)
        const most = noiseBorne(numbers, gate)
        // All pairs of places on either side of the two lines, in search of one that goes to and fro.
        const places: { x: number; y: number }[] = []
        for (let angle = 0; angle <= 90; angle += 0.25) {
          for (const start of [numbers.release, numbers.press])
            for (let radius = start; radius <= start * 1.12; radius += start / 50) {
              places.push({
                x: Math.round(Math.cos((angle * Math.PI) / 180) * radius),
                y: Math.round(Math.sin((angle * Math.PI) / 180) * radius),
              })
            }
        }
        const random = uniform(7)
        let found = false
        for (let k = 0; k < 400_000 && !found; k++) {
          const a = places[Math.floor(random() * places.length)]
          if (a === undefined) continue
          const angle = random() * 2 * Math.PI
          const b = {
            x: Math.round(a.x + Math.cos(angle) * most * 1.06),
            y: Math.round(a.y + Math.sin(angle) * most * 1.06),
          }
          const first = hold(settings, a.x, a.y, RIGHT)
          const there = hold(settings, b.x, b.y, first)
          const back = hold(settings, a.x, a.y, there)
          found = there !== back && hold(settings, b.x, b.y, back) === there
        }
        expect({ settings, found }).toEqual({ settings, found: true })
      }
    }
  })

  it('of a worn stick does not chatter with the usual settings, and does with a tenth of their hysteresis', () => {
    const chatters = (settings: StickSettings): number => {
      const random = uniform(2026)
      const numbers = stickNumbers(settings)
      const most = noiseBorne(numbers, settings.gate)
      let count = 0
      for (let place = 0; place < 720; place++) {
        // Held still near the line where a direction begins, or at some angle half way out.
        const angle = (place * Math.PI) / 360
        const radius = place % 2 === 0 ? numbers.press : numbers.press * 1.4
        const [x, y] = [Math.cos(angle) * radius, Math.sin(angle) * radius]
        const [noisyX, noisyY] = [noisyAxis(WORN_STICK, random), noisyAxis(WORN_STICK, random)]
        let now = 0
        const xs: number[] = []
        const ys: number[] = []
        const held = Array.from({ length: 300 }, () => {
          const [px, py] = [noisyX(x), noisyY(y)]
          xs.push(px)
          ys.push(py)
          now = stickDirection(numbers, settings.gate, px, py, now)
          return now
        })
        const across = Math.hypot(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys))
        if (settings.hysteresisPercent === USUAL_STICK.hysteresisPercent) {
          expect(across).toBeLessThan(most)
        }
        if (comesBack(held)) count++
      }
      return count
    }
    expect(chatters(USUAL_STICK)).toBe(0)
    expect(chatters({ ...USUAL_STICK, hysteresisPercent: 1 })).toBeGreaterThan(100)
  })
})
