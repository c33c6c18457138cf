import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { frameNs } from '../../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import { readTitle, writeTitle } from '../../../src/title/file.ts'
import { findingLine } from '../../../src/title/infer/finding-words.ts'
import type { Inferred } from '../../../src/title/infer/infer.ts'
import { inferTitle } from './infer-title.ts'
import { edgesOf, random } from './simulate.ts'

/** Captures in which a title reads the port in one way for a stretch, and in another for the next. */

const FRAME_NS = frameNs('525-line')

function infer(edgesNs: readonly number[], endNs: number): Inferred {
  const changes = [0, ...edgesNs].map((ns, k): [number, string] => [Math.round(ns), '10'[k % 2] as string])
  const result = inferTitle(edgesOf(changes, Math.round(endNs)), {
    name: 'fog bell',
    source: 'select in fog-bell.vcd',
  })
  if (!result.ok) expect.fail(JSON.stringify(result.error))
  const { title } = result.value
  expect(readTitle(new TextEncoder().encode(writeTitle(title)))).toEqual({ ok: true, value: title })
  return result.value
}

const read = (atNs: number, cycles: number, phaseNs = 2_603): number[] =>
  Array.from({ length: 2 * cycles }, (_, k) => Math.round(atNs) + k * phaseNs)

const frames = (count: number, of: (startNs: number, frame: number) => number[]): number[] =>
  Array.from({ length: count }, (_, k) => of(Math.round(k * FRAME_NS) + 400_003, k)).flat()

const verdictOf = ({ title }: Inferred, profile: keyof typeof BUILT_IN_PROFILES): string =>
  judge(BUILT_IN_PROFILES[profile], title, { adapter: REFERENCE_ADAPTER, marginNs: 0 }).verdict

const lines = ({ findings }: Inferred): string => findings.map(findingLine).join('\n')

const edgesPerRead = ({ title }: Inferred): number[][] =>
  title.modes.map(({ reads }) => reads.map(({ steps }) => steps.filter((step) => 'select' in step).length))

describe('modes are told apart', () => {
  it('one after the other, with the frames that each was seen in', () => {
    const found = infer(
      frames(600, (ns, k) => read(ns, k < 350 ? 1 : 4)),
      600 * FRAME_NS,
    )
    expect(edgesPerRead(found)).toEqual([[2], [8]])
    expect(found.title.modes.map(({ name, once }) => ({ name, once }))).toEqual([
      { name: 'Mode 1', once: false },
      { name: 'Mode 2', once: false },
    ])
    expect(found.title.leftOver).toBeUndefined()
    expect(lines(found)).toContain('Mode 1: 350 frames, the first at 400.003 µs (sure)')
    expect(lines(found)).toContain('Mode 2: 250 frames, the first at 5.841253203 s (sure)')
    expect(lines(found)).toContain('Cycles per read, mode 2: 4 (sure, 250 of 250 reads)')
    // Its third low phase carries the identification (common practice, no source).
    expect(verdictOf(found, 'six-button')).toBe('undecided')
  })

  it('that come again, each once, and where their reads stand in one frame', () => {
    const close = (ns: number): number[] => [...read(ns + 3_000_000, 2), ...read(ns + 6_000_000, 2)]
    const found = infer(
      frames(600, (ns, k) => (k < 200 || k >= 400 ? read(ns, 1) : close(ns))),
      600 * FRAME_NS,
    )
    expect(found.title.modes.map(({ reads: [one] }) => one?.starts)).toMatchObject([
      { kind: 'frame', offsetsNs: [0], source: { seen: 400 } },
      { kind: 'frame', offsetsNs: [3_000_000, 6_000_000], source: { seen: 200 } },
    ])
    expect(found.title.leftOver).toBeUndefined()
    expect(verdictOf(found, 'six-button')).toBe('clean')
  })

  it('that go on from one to the other sooner than at the end of a frame are left over there', () => {
    // The last read of the one and the first of the other come in the same frame, 0.6 ms apart.
    const found = infer(
      frames(400, (ns, k) => [
        ...(k <= 200 ? read(ns, 2) : []),
        ...(k >= 200 ? read(ns + 600_000, 2, 3_100) : []),
      ]),
      400 * FRAME_NS,
    )
    const stretches = found.title.leftOver?.stretches ?? []
    expect(stretches.map(({ edgesNs }) => edgesNs.length)).toContain(8)
    // Four rises within the idle reset of 1.5 ms: the third low phase is in it.
    expect(verdictOf(found, 'six-button')).toBe('undecided')
  })

  it('frames of 50 Hz after those of 60 Hz are told by the time from read to read', () => {
    const longNs = frameNs('625-line')
    const beginsNs = 350 * FRAME_NS + 7_000_000
    const after = Array.from({ length: 300 }, (_, k) => read(beginsNs + k * longNs, 3)).flat()
    const found = infer([...frames(350, (ns) => read(ns, 3)), ...after], beginsNs + 300 * longNs)
    expect(found.title.standard).toBe('525-line')
    expect(found.title.modes.map(({ reads: [one] }) => one?.starts.kind)).toEqual(['frame', 'interval'])
    expect(found.title.leftOver).toBeUndefined()
    expect(lines(found)).toMatch(/^Reads are tied to, mode 2: no frame; a read comes 20\.1\d+ ms after/m)
    expect(verdictOf(found, 'six-button')).toBe('undecided')
  })

  it('a pattern that alternates frame by frame is no mode', () => {
    const found = infer(
      frames(400, (ns, k) => read(ns, k % 2 === 0 ? 1 : 3)),
      400 * FRAME_NS,
    )
    expect(found.title.modes).toHaveLength(1)
    const seen = (found.title.leftOver?.stretches ?? []).map((stretch) => stretch.seen)
    expect(seen.reduce((sum, one) => sum + one, 0)).toBe(200)
  })
})

/** Edges from a long rest to the next: what a pad counts in one goes on in no other. */
function stretchesOf(edgesNs: readonly number[]): number[][] {
  const all: number[][] = []
  for (const ns of edgesNs) {
    const last = all.at(-1)
    if (last && ns - (last.at(-1) ?? 0) < 4_000_000) last.push(ns)
    else all.push([ns])
  }
  return all
}

const arbMode = fc.record({
  cycles: fc.integer({ min: 1, max: 4 }),
  phaseNs: fc.constantFrom(1_500, 2_603, 4_000),
  gapsNs: fc.array(fc.integer({ min: 300_000, max: 5_000_000 }), { maxLength: 1 }),
  beginsNs: fc.integer({ min: 0, max: 4_000_000 }),
  jitterNs: fc.constantFrom(0, 0, 40_000),
})

it('every edge of random modes is in a mode or left over, and nothing that is spoken against is sure', () => {
  const counts = { several: 0, whole: 0, odd: 0 }
  fc.assert(
    fc.property(
      fc.array(arbMode, { minLength: 2, maxLength: 3 }),
      fc.array(fc.record({ mode: fc.nat(2), frames: fc.integer({ min: 12, max: 40 }) }), {
        minLength: 2,
        maxLength: 6,
      }),
      fc.array(fc.nat(10_000), { maxLength: 2 }),
      fc.nat(),
      (modes, turns, odd, seed) => {
        const next = random(seed)
        const edges: number[] = []
        let frame = 0
        for (const turn of turns)
          for (let k = 0; k < turn.frames; k++, frame++) {
            const mode = modes[turn.mode % modes.length] as (typeof modes)[number]
            let atNs = Math.round(frame * FRAME_NS) + 500_000 + mode.beginsNs
            for (const gapNs of [0, ...mode.gapsNs]) {
              atNs += gapNs
              edges.push(...read(atNs + Math.floor(next() * mode.jitterNs), mode.cycles, mode.phaseNs))
            }
            // A read that is none of the mode, in the middle of the rest of some frames.
            if (odd.some((one) => one % 50 === frame)) edges.push(...read(frame * FRAME_NS + 13_000_000, 5))
          }
        const found = infer(edges, frame * FRAME_NS)
        const { title, findings } = found
        const { stretches = [], more = 0 } = title.leftOver ?? {}
        const listed = stretches.reduce((sum, { edgesNs, seen }) => sum + seen * edgesNs.length, 0)
        if (title.modes.length > 1) counts.several++
        if (title.leftOver === undefined) counts.whole++
        if (odd.some((one) => one % 50 < frame)) {
          counts.odd++
          expect(more + listed).toBeGreaterThanOrEqual(10)
        }
        const isSpokenAgainst = title.leftOver !== undefined
        const sure = findings.filter(
          ({ what, sureness }) => what === 'cycles-per-read' && sureness === 'sure',
        )
        if (isSpokenAgainst) expect(sure).toEqual([])
        // What is not left over is in reads of the modes: those have no other numbers of edges.
        const shapes = new Set(edgesPerRead(found).flat())
        const isExplained = (stretch: readonly number[]): boolean =>
          burstsOf(stretch).every((edges) => shapes.has(edges))
        const unexplained = stretchesOf(edges).filter((stretch) => !isExplained(stretch))
        const left = stretches.reduce((sum, { seen }) => sum + seen, more)
        expect(left).toBeGreaterThanOrEqual(unexplained.length)
      },
    ),
    { numRuns: 60 },
  )
  expect(counts.several).toBeGreaterThan(5)
  expect(counts.whole).toBeGreaterThan(3)
  expect(counts.odd).toBeGreaterThan(5)
})

/** Numbers of edges between two rests of 20 µs. */
function burstsOf(edgesNs: readonly number[]): number[] {
  const all: number[] = []
  edgesNs.forEach((ns, k) => {
    if (k === 0 || ns - (edgesNs[k - 1] ?? 0) > 20_000) all.push(0)
    all[all.length - 1] = (all.at(-1) ?? 0) + 1
  })
  return all
}
