import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Zone } from '../../src/bench/zone.ts'
import { draws, often } from '../draws.ts'

/** A zone built step by step, and the same bounds as a plain list. */
interface Step {
  readonly base: number
  readonly minNs: number
  readonly spanNs: number
}
type Bound = readonly [later: number, earlier: number, byNs: number]

const arbSteps = fc.array(
  fc.record({ base: fc.nat(3), minNs: fc.integer({ min: -6, max: 6 }), spanNs: fc.nat(4) }),
  { minLength: 1, maxLength: 3 },
)
const arbBounds = fc.array(fc.tuple(fc.nat(3), fc.nat(3), fc.integer({ min: -8, max: 8 })), { maxLength: 4 })

const build = (steps: readonly Step[]): { zone: Zone; bounds: Bound[] } => {
  const zone = new Zone()
  zone.origin()
  const bounds: Bound[] = []
  for (const { base, minNs, spanNs } of steps) {
    const from = base % zone.count
    const at = zone.after(from, minNs, minNs + spanNs)
    bounds.push([at, from, minNs + spanNs], [from, at, -minNs])
  }
  return { zone, bounds }
}

/** All timings with the origin at 0, tried one by one. */
function timings(count: number, bounds: readonly Bound[]): number[][] {
  const found: number[][] = []
  const within = (ns: readonly number[]) =>
    bounds.every(([later, earlier, byNs]) => {
      const [p, q] = [ns[later], ns[earlier]]
      return p === undefined || q === undefined || p - q <= byNs
    })
  const go = (ns: number[]) => {
    if (!within(ns)) return
    if (ns.length === count) found.push(ns)
    else for (let next = -32; next <= 32; next++) go([...ns, next])
  }
  go([0])
  return found
}

describe('a zone against all its timings tried one by one', () => {
  it('knows exactly how far apart any two instants can be, and when nothing is left', () => {
    let empty = 0
    fc.assert(
      fc.property(arbSteps, arbBounds, (steps, more) => {
        const { zone, bounds } = build(steps)
        const count = zone.count
        let left = true
        for (const [p, q, byNs] of more) {
          const [later, earlier] = [p % count, q % count]
          if (later === earlier || !left) continue
          bounds.push([later, earlier, byNs])
          left = zone.bound(later, earlier, byNs)
        }
        const all = timings(count, bounds)
        expect(left).toBe(all.length > 0)
        if (!left) {
          empty++
          return
        }
        for (let i = 0; i < count; i++) {
          for (let j = 0; j < count; j++) {
            const apart = all.map((ns) => (ns[i] as number) - (ns[j] as number))
            expect(zone.most(i, j)).toBe(Math.max(...apart))
            expect(zone.least(i, j)).toBe(Math.min(...apart))
          }
        }
        expect(all).toContainEqual(zone.earliestNs())
      }),
      { numRuns: draws(600) },
    )
    expect(empty).toBeGreaterThan(often(5))
  })

  it('says of fewer instants what it said of all of them, and grows without a limit', () => {
    fc.assert(
      fc.property(arbSteps, fc.uniqueArray(fc.nat(3), { minLength: 1 }), (steps, wanted) => {
        const { zone } = build(steps)
        const kept = wanted.filter((k) => k < zone.count)
        const part = zone.of(kept)
        kept.forEach((i, row) =>
          kept.forEach((j, column) => expect(part.most(row, column)).toBe(zone.most(i, j))),
        )
        for (let k = 0; k < 100; k++) part.after(0, k, k + 1)
        expect(part.count).toBe(kept.length + 100)
        if (kept.length > 0) expect(part.most(part.count - 1, 0)).toBe(100)
      }),
    )
  })

  it('lies within another one exactly when every timing does', () => {
    let within = 0
    fc.assert(
      fc.property(
        arbSteps,
        fc.tuple(fc.nat(3), fc.nat(3), fc.integer({ min: -8, max: 8 })),
        (steps, [p, q, byNs]) => {
          const { zone, bounds } = build(steps)
          const [later, earlier] = [p % zone.count, q % zone.count]
          const narrow = zone.copy()
          if (later === earlier || !narrow.bound(later, earlier, byNs)) return
          expect(narrow.isWithin(zone)).toBe(true)
          const all = timings(zone.count, bounds)
          const isSame = all.every((ns) => (ns[later] as number) - (ns[earlier] as number) <= byNs)
          if (!isSame) within++
          expect(zone.isWithin(narrow)).toBe(isSame)
        },
      ),
      { numRuns: draws(600) },
    )
    expect(within).toBeGreaterThan(often(10))
  })
})

describe('two zones', () => {
  it('are united exactly when no timing is allowed that neither allowed', () => {
    const arbBounds = fc.tuple(
      fc.integer({ min: -4, max: 4 }),
      fc.nat(4),
      fc.integer({ min: -4, max: 4 }),
      fc.nat(4),
    )
    const zoneOf = ([p, wideP, q, wideQ]: [number, number, number, number]) => {
      const zone = new Zone()
      zone.origin()
      zone.after(0, p, p + wideP)
      zone.after(1, q, q + wideQ)
      return zone
    }
    const allows = (zone: Zone, ns: readonly number[]) =>
      ns.every((a, i) => ns.every((b, j) => a - b <= zone.most(i, j)))
    const timings = Array.from({ length: 33 * 33 }, (_, k) => [0, Math.floor(k / 33) - 16, (k % 33) - 16])
    let joined = 0
    let kept = 0
    fc.assert(
      fc.property(arbBounds, arbBounds, (one, other) => {
        const [zone, second] = [zoneOf(one), zoneOf(other)]
        const united = zone.united(second)
        const either = timings.filter((ns) => allows(zone, ns) || allows(second, ns))
        const didUnite = united !== null
        if (didUnite) joined++
        else kept++
        const most = [0, 1, 2].map((i) => [0, 1, 2].map((j) => Math.max(zone.most(i, j), second.most(i, j))))
        const between = timings.filter((ns) =>
          ns.every((a, i) => ns.every((b, j) => a - b <= (most[i]?.[j] ?? 0))),
        )
        expect(didUnite).toBe(between.length === either.length)
        if (united !== null) expect(timings.filter((ns) => allows(united, ns))).toEqual(either)
      }),
      { numRuns: draws(700) },
    )
    expect(Math.min(joined, kept)).toBeGreaterThan(often(20))
  })
})
