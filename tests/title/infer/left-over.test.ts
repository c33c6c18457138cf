import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { phaseAt } from '../../../src/port/chart.ts'
import { frameNs } from '../../../src/port/clocks.ts'
import { PortEngine } from '../../../src/port/engine.ts'
import type { Level } from '../../../src/port/pins.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { readTitle, writeTitle } from '../../../src/title/file.ts'
import type { CaptureFinding, CaptureFindingOf, What } from '../../../src/title/infer/findings.ts'
import { findingLine } from '../../../src/title/infer/finding-words.ts'
import type { LeftOver } from '../../../src/title/left-over.ts'
import type { Title } from '../../../src/title/schema.ts'
import { shortTitle, withShort } from '../../bench/short-titles.ts'
import { inferTitle } from './infer-title.ts'
import { edgesOf, random, simulate } from './simulate.ts'
import type { Edges, Pattern } from './simulate.ts'
import { draws, often } from '../../draws.ts'

const ORIGIN = { name: 'fog bell', source: 'select in fog-bell.vcd' }
const FRAME_NS = frameNs('525-line')
const six = BUILT_IN_PROFILES['six-button']

interface Found {
  readonly title: Title
  readonly findings: readonly CaptureFinding[]
  readonly leftOver: LeftOver
}

/** `null`: refused. */
function infer(edges: Edges): Found | null {
  const result = inferTitle(edges, ORIGIN)
  if (!result.ok) return null
  const { title, findings } = result.value
  // What comes out is a file.
  expect(readTitle(new TextEncoder().encode(writeTitle(title)))).toEqual({ ok: true, value: title })
  return { title, findings, leftOver: title.leftOver ?? { stretches: [], more: 0 } }
}

const found = <W extends What>(findings: readonly CaptureFinding[], what: W) =>
  findings.find((finding) => finding.what === what) as CaptureFindingOf<W> | undefined

const verdictOf = (title: Title, profile: Profile = six) =>
  judge(profile, title, { adapter: REFERENCE_ADAPTER, marginNs: 200 }).verdict

/** Where no frame ties its reads, all of their shape are in it. */
const isTied = ({ modes }: Title): boolean =>
  modes.every(({ reads }) => reads.every(({ starts }) => starts.kind === 'frame'))

const SPACING_NS = 2_600
const read = (atNs: number, cycles: number): number[] =>
  Array.from({ length: 2 * cycles }, (_, k) => Math.round(atNs) + k * SPACING_NS)

/** A line that rests at a level and turns at each of these times. */
const lineOf = (edgesNs: readonly number[], endNs: number, rest: Level = 'high'): Edges =>
  edgesOf(
    [-1, ...edgesNs.toSorted((a, b) => a - b)].map((ns, k) => [
      ns === -1 ? 0 : ns,
      (rest === 'high' ? '10' : '01')[k % 2] ?? '',
    ]),
    Math.round(endNs),
  )

const frames = (count: number, of: (startNs: number, frame: number) => number[]): number[] =>
  Array.from({ length: count }, (_, k) => of(Math.round(k * FRAME_NS) + 500_000, k)).flat()

/** Steps from edge to edge, for stretches that hold the same. */
const shapeOf = (edgesNs: readonly number[]): number[] => edgesNs.map((ns) => ns - (edgesNs[0] ?? 0))

/** Whether a stretch that is listed stands for this one: it has the shortest of each time of those that are alike. */
const isAlike = (listed: readonly number[], other: readonly number[]): boolean =>
  listed.length === other.length &&
  listed.every((ns, k) => {
    const [shortest, own] = [ns - (listed[k - 1] ?? 0), (other[k] ?? 0) - (other[k - 1] ?? 0)]
    return shortest <= own + 1_000 && own <= 1.5 * shortest + 1_000
  })

const seenOf = ({ stretches }: LeftOver, edgesNs: readonly number[]): number =>
  stretches
    .filter((stretch) => isAlike(stretch.edgesNs, shapeOf(edgesNs)))
    .reduce((sum, { seen }) => sum + seen, 0)

describe('what a capture shows beside its pattern is left over', () => {
  it('a pair of reads 0.8 ms apart in 17 of 600 frames', () => {
    const pair = [...read(0, 2), ...read(800_000, 2)]
    const edges = frames(600, (ns, k) => (k % 35 === 5 ? pair.map((at) => at + ns) : read(ns, 2)))
    const { title, findings, leftOver } = infer(lineOf(edges, 600 * FRAME_NS)) ?? expect.fail()
    expect(seenOf(leftOver, pair)).toBe(17)
    expect(leftOver.stretches[0]).toMatchObject({ startLevel: 'high', edgesNs: pair, seen: 17 })
    expect(findingLine(findings[0] ?? expect.fail())).toBe(
      'Left over: 17 stretches with edges that are not in this pattern, the first at 83.94076 ms; the title keeps them, and they are judged edge by edge (sure)',
    )
    for (const what of ['frame-rate', 'reads-per-frame', 'cycles-per-read', 'rest', 'edge-spacing'] as const)
      expect(found(findings, what)?.sureness).toBe('likely')
    // Four rises within its idle reset of 1.5 ms reach the identification, which is in the third low phase (common practice, no source).
    expect(verdictOf(title)).toBe('undecided')
    expect(verdictOf(title, BUILT_IN_PROFILES['three-button'])).toBe('clean')
    expect(verdictOf({ ...title, leftOver: { stretches: [], more: 0 } })).toBe('clean')
  })

  it('reads of the title that come so soon after an odd one that a pad may count on', () => {
    const oddNs = 12_000_000
    const edges = frames(100, (ns, k) => [...read(ns, 1), ...(k === 50 ? read(ns + oddNs, 2) : [])])
    const { title, leftOver } = infer(lineOf(edges, 100 * FRAME_NS)) ?? expect.fail()
    expect([seenOf(leftOver, read(0, 2)), seenOf(leftOver, read(0, 1))]).toEqual([1, 1])
    // Its idle reset comes before the odd read, not after it: the two rises there make the next low phase the third.
    const profile = { ...six, idleResetNs: 10_000_000 }
    expect(reachesLater(profile, edges, 'high')).toBe(true)
    expect(verdictOf(title, profile)).toBe('undecided')
  })

  it('but not a read of one cycle and one of four in the same frame, unless one of them comes alone', () => {
    const both = [...read(0, 1), ...read(1_500_000, 4)]
    const edges = frames(600, (ns, k) => (k === 77 ? read(ns, 4) : both.map((at) => at + ns)))
    const { title, leftOver } = infer(lineOf(edges, 600 * FRAME_NS)) ?? expect.fail()
    expect([seenOf(leftOver, both), seenOf(leftOver, read(0, 4))]).toEqual([0, 1])
    expect(verdictOf(title)).toBe('undecided')
    expect(verdictOf({ ...title, leftOver: { stretches: [], more: 0 } })).toBe('undecided')
  })

  it.each([1_270_000, 3_700_000, 5_000_000, 12_345_678, 15_100_000])(
    'polling every %i ns or so',
    (everyNs) => {
      const next = random(7)
      const edges: number[] = []
      for (let ns = 1_000; ns < 600 * FRAME_NS; ns += everyNs + Math.floor((next() * everyNs) / 5))
        edges.push(...read(ns, 2))
      const inferred = infer(lineOf(edges, 600 * FRAME_NS + 100_000))
      if (inferred === null) return
      if (isTied(inferred.title))
        expect(inferred.leftOver.stretches.length + inferred.leftOver.more).toBeGreaterThan(0)
      expect(found(inferred.findings, 'frame-rate')?.sureness).not.toBe('sure')
      // Reads that come sooner than its idle reset go on counting.
      if (everyNs < six.idleResetNs) expect(['undecided', 'misread']).toContain(verdictOf(inferred.title))
    },
  )

  it('three close reads every second frame', () => {
    const three = [0, 400_000, 800_000].flatMap((ns) => read(ns, 2))
    const edges = frames(600, (ns, k) => (k % 2 === 0 ? three.map((at) => at + ns) : []))
    const inferred = infer(lineOf(edges, 600 * FRAME_NS))
    if (inferred === null) return
    const isRead = shortTitle(inferred.title).readOffsetsNs.length === 3
    expect(isRead ? 300 : seenOf(inferred.leftOver, three)).toBeGreaterThanOrEqual(298)
    expect(['undecided', 'misread']).toContain(verdictOf(inferred.title))
  })

  it('reads that are later than the title says', () => {
    const next = random(3)
    const edges = frames(300, (ns) => read(ns + Math.floor(next() * 6_000_000), 2))
    const inferred = infer(lineOf(edges, 301 * FRAME_NS))
    if (inferred === null) return
    if (isTied(inferred.title)) expect(seenOf(inferred.leftOver, read(0, 2))).toBeGreaterThan(100)
    expect(found(inferred.findings, 'standard')?.sureness).not.toBe('sure')
  })

  it('a frame that lacks a read, with the reads that it has', () => {
    const offsetsNs = [0, 2_000_000]
    const edges = frames(60, (ns, k) =>
      offsetsNs.filter((_, n) => n === 0 || k !== 20).flatMap((at) => read(ns + at, 1)),
    )
    const { leftOver } = infer(lineOf(edges, 60 * FRAME_NS)) ?? expect.fail()
    expect(leftOver).toEqual({
      stretches: [{ startLevel: 'high', edgesNs: read(0, 1), sinceRiseNs: expect.any(Number), seen: 1 }],
      more: 0,
    })
  })

  it('an unknown level, which no stretch can say', () => {
    const line = lineOf(
      frames(40, (ns) => read(ns, 2)),
      40 * FRAME_NS,
    )
    const values = line.values.slice()
    values[2 + 4 * 7] = 2
    expect(infer({ ...line, values })?.leftOver).toEqual({ stretches: [], more: 1 })
  })

  it('with the time since the last rise, which nobody knows where the capture begins', () => {
    const edges = frames(40, (ns) => read(ns, 2))
    const odd = [30_000, 32_600]
    const { leftOver } = infer(lineOf([...odd, ...edges], 40 * FRAME_NS)) ?? expect.fail()
    expect(leftOver.stretches[0]).toMatchObject({ sinceRiseNs: null, seen: 1 })
    expect(leftOver.stretches[0]?.edgesNs.slice(0, 2)).toEqual([0, 2_600])
  })

  it('as many stretches as a title file has room for, and the others counted', () => {
    const edges = frames(400, (ns, k) => [
      ...read(ns, 1),
      ...(k % 4 === 2 ? read(ns + 300_000 * 1.3 ** ((k >> 2) % 9), 1 + (Math.floor((k >> 2) / 9) % 5)) : []),
    ])
    const { leftOver, findings } = infer(lineOf(edges, 400 * FRAME_NS)) ?? expect.fail()
    const seen = leftOver.stretches.reduce((sum, one) => sum + one.seen, 0)
    expect(leftOver.stretches).toHaveLength(32)
    expect(leftOver.more).toBeGreaterThan(0)
    // A read after an odd one may be listed beside it, as it comes sooner than the others do.
    expect(seen + leftOver.more).toBeGreaterThanOrEqual(100)
    expect(seen + leftOver.more).toBeLessThanOrEqual(200)
    expect(found(findings, 'left-over')?.value.count).toBe(100)
  })
})

it('nothing is left over of a capture that is cut anywhere', () => {
  fc.assert(
    fc.property(
      fc.constantFrom<Level>('high', 'low'),
      fc.integer({ min: 1, max: 4 }),
      fc.array(fc.integer({ min: 300_000, max: 5_000_000 }), { maxLength: 2 }),
      fc.nat(1_000),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.nat(),
      (rest, cycles, gapsNs, jitterNs, from, to, seed) => {
        const offsetsNs = gapsNs.reduce((all, ns) => [...all, (all.at(-1) ?? 0) + ns], [250_000])
        const pattern: Pattern = {
          standard: '525-line',
          offsetsNs,
          cycles,
          spacingNs: { minNs: 2_500, maxNs: 2_700 },
          rest,
          jitterNs,
        }
        // Half of the cuts are in or next to a read.
        const at = (share: number) => Math.floor(share < 0.5 ? 245_000 + share * 80_000 : share * FRAME_NS)
        const line = simulate(pattern, {
          frames: 40,
          seed,
          fromNs: at(from),
          toNs: 38 * FRAME_NS + at(to),
        })
        expect(infer(line)?.leftOver).toEqual({ stretches: [], more: 0 })
      },
    ),
    { numRuns: draws(300) },
  )
})

/** Bursts of edges between two rests of 4 ms. */
function stretchesOf(edgesNs: readonly number[]): number[][] {
  const all: number[][] = []
  for (const ns of edgesNs) {
    const last = all.at(-1)
    if (last && ns - (last.at(-1) ?? 0) < 4_000_000) last.push(ns)
    else all.push([ns])
  }
  return all
}

/** Whether a pad, edge by edge, ever answers otherwise than in its first cycle. */
function reachesLater({ chart, idleResetNs }: Profile, edgesNs: readonly number[], rest: Level): boolean {
  const replier = { idleResetNs, delayNs: 0, pinsAt: () => 0, readEnded: () => undefined }
  const engine = new PortEngine(replier, rest)
  let level = rest
  return edgesNs.some((ns) => {
    level = level === 'high' ? 'low' : 'high'
    engine.select(ns, level)
    return JSON.stringify(phaseAt(chart, engine.rises, level)) !== JSON.stringify(phaseAt(chart, 0, level))
  })
}

it('every edge of a random line is in a read or left over, and no line that reaches a later reply is clean', () => {
  const kinds = { refused: 0, later: 0, clean: 0 }
  fc.assert(
    fc.property(
      fc.record({
        rest: fc.constantFrom<Level>('high', 'low'),
        cycles: fc.integer({ min: 1, max: 2 }),
        gapsNs: fc.array(fc.integer({ min: 300_000, max: 7_000_000 }), { maxLength: 1 }),
        jitterNs: fc.constantFrom(0, 0, 40_000),
        spreadNs: fc.constantFrom(0, 300),
        seed: fc.nat(),
        bursts: fc.array(
          fc.record({
            frame: fc.nat(39),
            atNs: fc.integer({ min: 20_000, max: 15_000_000 }),
            cycles: fc.integer({ min: 1, max: 4 }),
            stepNs: fc.integer({ min: 1_200, max: 60_000 }),
          }),
          { maxLength: 5 },
        ),
        resetNs: fc.constantFrom(1_200_000, 1_500_000, 3_000_000, 6_000_000, 12_000_000),
        goesRound: fc.boolean(),
      }),
      ({ rest, cycles, gapsNs, jitterNs, spreadNs, seed, bursts, resetNs, goesRound }) => {
        const spacingNs = { minNs: 2_600, maxNs: 2_600 + spreadNs }
        const offsetsNs = gapsNs.reduce((all, ns) => [...all, (all.at(-1) ?? 0) + ns], [250_000])
        const pattern: Pattern = { standard: '525-line', offsetsNs, cycles, spacingNs, rest, jitterNs }
        const { reads } = simulate(pattern, { frames: 40, seed })
        const taken = reads.map(({ edgesNs }) => edgesNs)
        const odd: number[] = []
        for (const burst of bursts) {
          const startNs = Math.round(burst.frame * FRAME_NS) + burst.atNs
          const edgesNs = Array.from({ length: 2 * burst.cycles }, (_, k) => startNs + k * burst.stepNs)
          const [from, to] = [startNs - 3_000, (edgesNs.at(-1) ?? 0) + 3_000]
          if (taken.some((other) => (other.at(-1) ?? 0) >= from && (other[0] ?? 0) <= to)) continue
          taken.push(edgesNs)
          odd.push(...edgesNs)
        }
        const edgesNs = taken.flat().sort((a, b) => a - b)
        const inferred = infer(lineOf(edgesNs, 40 * FRAME_NS, rest))
        if (inferred === null) {
          kinds.refused++
          return
        }
        const { title, leftOver, findings } = inferred
        const stretches = stretchesOf(edgesNs)
        const isListed = (stretch: readonly number[]) => seenOf(leftOver, stretch) > 0
        const oddOnes = stretches.filter((stretch) => stretch.some((ns) => odd.includes(ns)))
        const short = isTied(title) ? shortTitle(title) : null
        if (short?.cyclesPerRead === cycles && short.readOffsetsNs.length === offsetsNs.length) {
          for (const stretch of oddOnes)
            if (!isListed(stretch) && leftOver.more === 0) expect.fail(`${stretch} is nowhere`)
        }
        // What is in no stretch comes in whole reads of the title.
        const listed = leftOver.stretches.reduce((sum, { edgesNs, seen }) => sum + edgesNs.length * seen, 0)
        if (leftOver.more === 0 && short !== null) {
          expect(edgesNs.length - listed).toBeGreaterThanOrEqual(0)
          expect((edgesNs.length - listed) % (2 * short.cyclesPerRead)).toBe(0)
        }
        expect(found(findings, 'left-over') === undefined).toBe(title.leftOver === undefined)
        const chart = goesRound ? { ...six.chart, after: { kind: 'start-again' as const } } : six.chart
        const profile: Profile = { ...six, chart, idleResetNs: resetNs }
        const verdict = verdictOf(title, profile)
        const isLater = reachesLater(profile, edgesNs, rest)
        if (isLater) kinds.later++
        if (verdict === 'clean') kinds.clean++
        if (isLater) expect(['undecided', 'misread']).toContain(verdict)
      },
    ),
    { numRuns: draws(250) },
  )
  expect(kinds.refused).toBeLessThan(60)
  expect(kinds.later).toBeGreaterThan(often(30))
  expect(kinds.clean).toBeGreaterThan(often(15))
})

it('an edit of the short form keeps what is left over', () => {
  const edges = frames(60, (ns, k) => [...read(ns, 2), ...(k === 30 ? read(ns + 800_000, 2) : [])])
  const { title, leftOver } = infer(lineOf(edges, 60 * FRAME_NS)) ?? expect.fail()
  expect(leftOver.stretches).not.toEqual([])
  const edited = withShort(title, { clockPpm: 321 })
  expect(edited).toEqual({ ...title, clockPpm: 321 })
})
