import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { INPUTS } from '../../../src/port/pins.ts'
import { simulate } from '../infer/simulate.ts'
import { measured } from './measure.ts'
import { capturedPad } from './pad-lines.ts'
import type { Hold, Line, OriginalPad } from './pad-lines.ts'

/** Rates of analysers: 100, 80, 50, 24, 16, 10, 4, 2, 1 and 0.5 MHz; 0: as fine as a file can say. */
const GRIDS_NS = [0, 10, 12.5, 20, 1e9 / 24e6, 62.5, 100, 250, 500, 1_000, 2_000]

/** Of these none can miss a phase, or see it before it has settled. */
const FINE_NS = GRIDS_NS.filter((ns) => ns <= 250)

interface Captured {
  readonly pad: OriginalPad
  readonly line: Line
  readonly holds: readonly Hold[]
  readonly gridNs: number
}

const pads = fc.record<OriginalPad>({
  kind: fc.constantFrom('three', 'six-stay', 'six-again'),
  replyNs: fc.nat(1_000),
  idleResetNs: fc.integer({ min: 1_000_000, max: 3_000_000 }),
})

const lines = fc
  .record({
    standard: fc.constantFrom('525-line' as const, '625-line' as const),
    gapsNs: fc.array(fc.integer({ min: 300_000, max: 4_000_000 }), { maxLength: 2 }),
    cycles: fc.integer({ min: 1, max: 6 }),
    spacingNs: fc.integer({ min: 2_500, max: 12_000 }),
    spread: fc.nat(800),
    rest: fc.constantFrom('high' as const, 'low' as const),
    jitterNs: fc.nat(60_000),
    frames: fc.integer({ min: 3, max: 14 }),
    seed: fc.nat(1_000_000),
  })
  .map(({ gapsNs, spacingNs, spread, frames, seed, ...pattern }): Line => {
    const offsetsNs = gapsNs.reduce((all, ns) => [...all, (all.at(-1) ?? 0) + ns], [500_000])
    const spacing = { minNs: spacingNs, maxNs: spacingNs + spread }
    const { timesNs, values, endNs } = simulate(
      { ...pattern, offsetsNs, spacingNs: spacing },
      { frames, seed },
    )
    return { startsHigh: values[0] === 1, edgesNs: [...timesNs].slice(1), endNs }
  })

const heldSets = fc.subarray([...INPUTS]).map((inputs): ReadonlySet<string> => new Set(inputs))

/** What is held, and when that changes: now and then right in a read. */
const holdsOn = ({ edgesNs, endNs }: Line) =>
  fc
    .tuple(
      heldSets,
      fc.array(fc.tuple(fc.nat(endNs), fc.nat(Math.max(0, edgesNs.length - 1)), fc.boolean(), heldSets), {
        maxLength: 12,
      }),
    )
    .map(([first, later]): Hold[] =>
      [
        { fromNs: 0, held: first },
        ...later.map(([ns, edge, isInRead, held]) => ({
          fromNs: isInRead ? Math.min(endNs, (edgesNs[edge] ?? 0) + (ns % 4_000)) : ns,
          held,
        })),
      ].sort((p, q) => p.fromNs - q.fromNs),
    )

const captures = lines.chain((line) =>
  fc.record({
    pad: pads,
    line: fc.constant(line),
    holds: holdsOn(line),
    gridNs: fc.constantFrom(...GRIDS_NS),
  }),
)

/** What may be claimed of the pad that was there. */
function expectTrue(
  { kinds, reply, idleReset, stretches }: Awaited<ReturnType<typeof measured>>,
  { pad, holds, gridNs }: Captured,
): void {
  const isSix = kinds.length > 0 && kinds.every((kind) => kind !== 'three-buttons')
  if (isSix) expect(pad.kind).not.toBe('three')
  if (kinds.length === 1)
    expect(kinds).toEqual([pad.kind.replace(/^six|^three$/, (kind) => `${kind}-buttons`)])
  if (reply !== null) {
    expect(reply.minNs).toBeLessThanOrEqual(pad.replyNs)
    expect(reply.maxNs).toBeGreaterThanOrEqual(pad.replyNs)
  }
  if (idleReset !== null) {
    expect(idleReset.contradicts).toBe(false)
    expect(idleReset.minNs ?? 0).toBeLessThanOrEqual(pad.idleResetNs)
    expect(idleReset.maxNs ?? Infinity).toBeGreaterThanOrEqual(pad.idleResetNs)
  }
  const lateNs = pad.replyNs + gridNs + 1
  for (const { held, free, fromNs, toNs } of stretches) {
    // What changed within a read may be claimed either way.
    const during = holds.filter(
      ({ fromNs: ns }, k) => ns <= toNs && (holds[k + 1]?.fromNs ?? Infinity) > fromNs - lateNs,
    )
    INPUTS.forEach((input, k) => {
      if ((held >> k) & 1) expect(during.some((hold) => hold.held.has(input))).toBe(true)
      if ((free >> k) & 1) expect(during.some((hold) => !hold.held.has(input))).toBe(true)
    })
  }
}

describe('a pad that is measured in a capture', () => {
  it('is the pad that was there in all that is claimed, whatever is pressed when', async () => {
    await fc.assert(
      fc.asyncProperty(captures, async (captured) => {
        const { pad, line, holds, gridNs } = captured
        expectTrue(await measured(capturedPad(pad, line, holds, gridNs)), captured)
      }),
      { numRuns: 150 },
    )
  })

  it('is told where it can be: with the same inputs held, samples close enough, and lines that change', async () => {
    const found = { told: 0, bounded: 0 }
    await fc.assert(
      fc.asyncProperty(
        pads,
        lines,
        heldSets,
        fc.constantFrom(...FINE_NS),
        async (pad, line, held, gridNs) => {
          const holds = [{ fromNs: 0, held }]
          const all = await measured(capturedPad(pad, line, holds, gridNs))
          expectTrue(all, { pad, line, holds, gridNs })
          if (all.still.length === 6) return
          expect(all.isExplained).toBe(true)
          expect(all.odd.count).toBe(0)
          found.told += Number(all.kinds.length > 0 && all.reply !== null)
          const { minNs = null, maxNs = null } = all.idleReset ?? {}
          found.bounded += Number(minNs !== null && maxNs !== null)
          // Not more exact than the samples, and not less than twice that.
          if (all.reply !== null)
            expect(all.reply.maxNs - all.reply.minNs).toBeLessThanOrEqual(4 * Math.ceil(Math.max(1, gridNs)))
        },
      ),
      { numRuns: 150 },
    )
    expect(found.told).toBeGreaterThan(100)
    expect(found.bounded).toBeGreaterThan(5)
  })
})
