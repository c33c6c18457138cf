import { describe, expect, it } from 'vitest'
import { judge } from '../../../src/bench/judge.ts'
import { REFERENCE_ADAPTER } from '../../../src/bench/stated.ts'
import { frameNs } from '../../../src/port/clocks.ts'
import { BUILT_IN_PROFILES } from '../../../src/profile/built-in.ts'
import type { Profile } from '../../../src/profile/schema.ts'
import { findingLine } from '../../../src/title/infer/finding-words.ts'
import type { Inferred } from '../../../src/title/infer/infer.ts'
import { inferTitle } from './infer-title.ts'
import { edgesOf, random } from './simulate.ts'

/** Captures that were once read wrongly, each built from what was done to it. */

const FRAME_NS = frameNs('525-line')
const FRAMES = 120

type Policy = Profile['opposite']['vertical']

const verdictOf = (
  { title }: Inferred,
  profile: keyof typeof BUILT_IN_PROFILES,
  opposite: Policy = 'as-held',
): string => {
  const options = { adapter: REFERENCE_ADAPTER, marginNs: 0 }
  const both = { vertical: opposite, horizontal: opposite }
  return judge({ ...BUILT_IN_PROFILES[profile], opposite: both }, title, options).verdict
}

function infer(edgesNs: readonly number[], idle: 'high' | 'low' = 'high', endNs = FRAMES * FRAME_NS) {
  const levels = idle === 'high' ? '10' : '01'
  const changes = [0, ...edgesNs].map((ns, k): [number, string] => [Math.round(ns), levels[k % 2] as string])
  const result = inferTitle(edgesOf(changes, endNs), { name: 'tide gauge', source: 'select in tide.vcd' })
  if (!result.ok) expect.fail(JSON.stringify(result.error))
  return result.value
}

const read = (atNs: number, cycles: number, phaseNs = 2_603): number[] =>
  Array.from({ length: 2 * cycles }, (_, k) => Math.round(atNs) + k * phaseNs)

const everyFrame = (of: (startNs: number, frame: number) => number[]): number[] =>
  Array.from({ length: FRAMES }, (_, k) => of(Math.round(k * FRAME_NS) + 400_003, k)).flat()

const lines = ({ findings }: Inferred): string => findings.map(findingLine).join('\n')
const cyclesOf = ({ findings }: Inferred) => findings.find(({ what }) => what === 'cycles-per-read')?.value
const startsOf = ({ title }: Inferred) => title.modes[0]?.reads[0]?.starts

/** The reads that a title has in its first mode: in which frames of how many, where in them, and with how many edges. */
const kindsOf = ({ title }: Inferred) =>
  (title.modes[0]?.reads ?? []).map(({ starts, steps }) => ({
    frames: starts.kind === 'frame' ? [starts.everyFrames, starts.inFrame] : [],
    offsetsNs: starts.kind === 'frame' ? starts.offsetsNs : [],
    edges: steps.filter((step) => 'select' in step).length,
  }))

const leftOverEdges = ({ title }: Inferred): number[] =>
  (title.leftOver?.stretches ?? []).map(({ edgesNs }) => edgesNs.length)

describe('a captured line', () => {
  it('whose reads are up to 6 ms late does not have a clock that is off', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const next = random(seed)
      const found = infer(everyFrame((ns) => read(ns + next() * 6_000_000, 1)))
      expect(found.title.clockPpm).toBeLessThanOrEqual(1_000)
      expect(lines(found)).not.toMatch(/\d{4,} ppm/)
      expect(verdictOf(found, 'six-button')).toBe('clean')
    }
  })

  it('that rises slowly and bounces for 180 ns has as many cycles as it was driven, and the bounces are counted', () => {
    const bounce = (ns: number): number[] => [ns + 200, ns + 380]
    const edges = everyFrame((ns) =>
      read(ns, 2).flatMap((at, k) => (k % 2 === 1 ? [at, ...bounce(at)] : [at])),
    )
    const found = infer(edges)
    expect(cyclesOf(found)).toBe(2)
    expect(lines(found)).toContain(`Short pulses: ${2 * FRAMES} pulses shorter than 521 ns`)
    const stretches = found.title.leftOver?.stretches ?? []
    expect(stretches.map(({ edgesNs }) => edgesNs.length)).toEqual(stretches.map(() => 8))
    expect(stretches.reduce((sum, { seen }) => sum + seen, 0)).toBe(FRAMES)
    // Two rises and two bounces: a pad that counts all of them has the identification in the next low phase (common practice, no source).
    expect(verdictOf(found, 'six-button')).toBe('undecided')
    expect(verdictOf(found, 'three-button')).toBe('clean')
  })

  it('has its shortest pulses left over, too, wherever they come', () => {
    const near = infer(
      everyFrame((ns, k) => [...read(ns, 2), ...(k === 70 ? [ns + 20_000, ns + 20_040] : [])]),
    )
    expect(near.title.leftOver?.stretches[0]).toMatchObject({ edgesNs: { length: 6 }, seen: 1 })
    expect(verdictOf(near, 'six-button')).toBe('undecided')
    const away = infer(
      everyFrame((ns, k) => [...read(ns, 2), ...(k === 70 ? [ns + 8_000_000, ns + 8_000_040] : [])]),
    )
    expect(away.title.leftOver?.stretches[0]).toMatchObject({ edgesNs: [0, 40], seen: 1 })
    expect(verdictOf(away, 'six-button')).toBe('clean')
  })

  it('that lost edges to samples 2 µs apart is not sure of anything, and is not clean where a count matters', () => {
    const sampled = everyFrame((ns) => read(ns, 4, 1_300)).reduce<number[]>((kept, ns) => {
      const atNs = Math.ceil(ns / 2_000) * 2_000
      return kept.at(-1) === atNs ? kept.slice(0, -1) : [...kept, atNs]
    }, [])
    const found = infer(sampled)
    expect(lines(found)).toMatch(
      /^Sampled: every 2 µs; .*a title can have moved select twice between two samples/m,
    )
    expect(
      found.findings.filter(({ what, sureness }) => what === 'cycles-per-read' && sureness === 'sure'),
    ).toEqual([])
    expect(found.title.leftOver?.sampledNs).toBe(2_000)
    expect(verdictOf(found, 'six-button')).toBe('undecided')
    // Up and Down at once look like the identification, in whatever edges the capture has lost (common practice, no source).
    expect(verdictOf(found, 'three-button')).toBe('undecided')
    expect(verdictOf(found, 'three-button', 'neutral')).toBe('clean')
  })

  it.each([
    [1_000_000 / 600, 30],
    [2_000, 30],
    [2_000, 400],
    [1_000_000 / 300, 30],
    [2_500, 5],
  ])(
    'of four cycles that shows one each time, as samples are %f ns apart, does not hide them in %i frames',
    (stepNs, frames) => {
      const next = random(4)
      const sampled = Array.from({ length: frames }, (_, k) =>
        read(k * FRAME_NS + 400_003 + next() * 1_000, 4, 1_100),
      )
        .flat()
        .reduce<number[]>((kept, ns) => {
          const atNs = Math.round(Math.ceil(ns / stepNs) * stepNs)
          return kept.at(-1) === atNs ? kept.slice(0, -1) : [...kept, atNs]
        }, [])
      const found = infer(sampled, 'high', frames * FRAME_NS)
      expect(found.title.leftOver?.sampledNs).toBe(Math.round(stepNs))
      expect(verdictOf(found, 'six-button')).toBe('undecided')
    },
  )

  it('that was sampled as seldom, and hides nothing in any of many reads that are alike, is clean', () => {
    const sampled = everyFrame((ns) => read(ns, 1, 4_000).map((at) => Math.ceil(at / 2_000) * 2_000))
    const found = infer(sampled)
    expect(found.title.leftOver).toBeUndefined()
    expect(verdictOf(found, 'six-button')).toBe('clean')
  })

  it('that idles low may be inverted', () => {
    const found = infer(
      everyFrame((ns) => read(ns, 2)),
      'low',
    )
    expect(lines(found)).toMatch(
      /^Idle level: low; a line that is captured inverted looks the same \(likely/m,
    )
  })

  it.each([2_000_000, 3_500_000, 7_100_000])('that polls every %i ns or so, as no frame does', (everyNs) => {
    const next = random(5)
    const edges: number[] = []
    for (let ns = 5_000; ns < FRAMES * FRAME_NS; ns += everyNs * (1 + next() / 3)) edges.push(...read(ns, 1))
    const found = infer(edges, 'high', FRAMES * FRAME_NS + 4_000_000)
    expect(startsOf(found)).toMatchObject({ kind: 'interval' })
    expect(found.title.leftOver).toBeUndefined()
    expect(lines(found)).toMatch(
      /^Reads are tied to: no frame; a read comes .* after the one before it \(likely/m,
    )
    expect(verdictOf(found, 'six-button')).toBe('clean')
  })

  it('that polls more often than an idle reset comes is a title, too, and no clock', () => {
    const edges: number[] = []
    for (let ns = 5_003; ns < FRAMES * FRAME_NS; ns += 470_001) edges.push(...read(ns, 1))
    const found = infer(edges)
    expect(startsOf(found)).toMatchObject({ kind: 'interval' })
    expect(verdictOf(found, 'six-button')).not.toBe('clean')
  })

  it('with three close reads every second frame is a title that is not clean where a count matters', () => {
    const close = [0, 400_000, 800_000]
    const found = infer(everyFrame((ns, k) => (k % 2 === 0 ? close.flatMap((at) => read(ns + at, 2)) : [])))
    expect(verdictOf(found, 'six-button')).not.toBe('clean')
    expect(verdictOf(found, 'three-button')).toBe('clean')
  })

  it('with one read of one cycle and one of four in a frame, or a mode of each, is not clean where a count matters', () => {
    const both = infer(everyFrame((ns) => [...read(ns, 1), ...read(ns + 3_000_000, 4)]))
    const modes = infer(everyFrame((ns, k) => read(ns, k < 80 ? 1 : 4)))
    for (const found of [both, modes]) {
      expect(verdictOf(found, 'six-button')).toBe('undecided')
      expect(found.title.leftOver).toBeUndefined()
    }
    expect(kindsOf(both)).toEqual([
      { frames: [1, 0], offsetsNs: [0], edges: 2 },
      { frames: [1, 0], offsetsNs: [3_000_000], edges: 8 },
    ])
    expect(lines(both)).toContain(
      'Kinds of read: read 1 of the frame has 1 cycle, its edges 2.603 µs apart; read 2 of the frame has 4 cycles, its edges 2.603 µs apart (sure, 120 of 120 frames)',
    )
  })

  it('with two kinds of read that cannot spoil each other is clean where no count matters, whichever comes first', () => {
    const long = infer(everyFrame((ns) => [...read(ns, 2), ...read(ns + 5_000_000, 1)]))
    expect(kindsOf(long).map(({ edges }) => edges)).toEqual([4, 2])
    expect(verdictOf(long, 'six-button')).toBe('clean')
    // The second comes before an idle reset, so that its low phase can be the identification.
    const near = infer(everyFrame((ns) => [...read(ns, 2), ...read(ns + 300_000, 1)]))
    expect(kindsOf(near).map(({ edges }) => edges)).toEqual([4, 2])
    expect(verdictOf(near, 'six-button')).toBe('undecided')
  })

  it.each([
    ['in one frame', everyFrame((ns) => [...read(ns, 3), ...read(ns + 5_000_000, 4)]), 'high'],
    ['in a mode each', everyFrame((ns, k) => read(ns, k < 70 ? 3 : 4)), 'high'],
    ['in two halves from idle low', everyFrame((ns) => [...read(ns, 2), ...read(ns + 60_000, 1)]), 'low'],
  ] as const)(
    'with extra buttons in two reads, one of which tells six buttons in fewer ways, is a title: %s',
    (_, edges, idle) => {
      const found = infer(edges, idle)
      expect(found.title.leftOver).toBeUndefined()
      expect(verdictOf(found, 'three-button', 'neutral')).toBe('undecided')
      expect(verdictOf(found, 'six-button')).toBe('undecided')
    },
  )

  it('whose longer read is missing in a frame has that frame left over', () => {
    const found = infer(everyFrame((ns, k) => [...read(ns, 1), ...(k === 50 ? [] : read(ns + 3_000_000, 4))]))
    expect(kindsOf(found).map(({ edges }) => edges)).toEqual([2, 8])
    expect(found.title.leftOver?.stretches.map(({ seen }) => seen)).toEqual([1])
    expect(lines(found)).not.toMatch(/Kinds of read: .*sure/)
  })

  it('with reads that lie in two frames and come again after both is no read of every frame', () => {
    const found = infer(
      everyFrame((ns, k) =>
        k % 2 === 0 ? [...read(ns, 1), ...read(ns + 9_000_000, 1)] : read(ns + 4_000_000, 4),
      ),
    )
    expect(kindsOf(found)).toEqual([
      { frames: [2, 0], offsetsNs: [0, 9_000_000], edges: 2 },
      { frames: [2, 1], offsetsNs: [4_000_000], edges: 8 },
    ])
    expect(found.title.leftOver).toBeUndefined()
  })

  it('may read extra buttons in a stretch that no read explains, but not where a disturbance alone makes it long enough', () => {
    const longer = infer(everyFrame((ns, k) => read(ns, k % 40 === 7 ? 3 : 1)))
    expect(leftOverEdges(longer)).toContain(6)
    // A title that takes six buttons for granted reads an original pad with six buttons right, and directions for X, Y, Z and Mode here.
    expect(verdictOf(longer, 'three-button', 'neutral')).toBe('undecided')
    const disturbed = infer(
      everyFrame((ns, k) => [
        ...(k % 40 === 7 ? [ns - 900, ns - 840, ns - 700, ns - 640] : []),
        ...read(ns, 1),
      ]),
    )
    expect(leftOverEdges(disturbed)).toContain(6)
    expect(verdictOf(disturbed, 'three-button', 'neutral')).toBe('clean')
  })

  it.each([
    ['three-button', 60_000, 'undecided'],
    ['three-button', 240_000, 'undecided'],
    ['three-button', 400_000, 'clean'],
    ['six-button', 60_000, 'undecided'],
  ] as const)(
    'read in two halves of two cycles is in front of %s with %i ns between them %s: extra buttons can be in the second half',
    (profile, pauseNs, verdict) => {
      const found = infer(everyFrame((ns) => [...read(ns, 2), ...read(ns + 4 * 2_603 + pauseNs, 2)]))
      expect(found.title.leftOver).toBeUndefined()
      expect(verdictOf(found, profile, 'neutral')).toBe(verdict)
    },
  )

  it('read one cycle at a time, each soon after the one before it, can have extra buttons in the third', () => {
    const apart = (ns: number, cycles: number): number[] =>
      Array.from({ length: cycles }, (_, k) => read(ns + k * 100_000, 1)).flat()
    const two = infer(everyFrame((ns) => apart(ns, 2)))
    expect(verdictOf(two, 'three-button', 'neutral')).toBe('clean')
    const three = infer(everyFrame((ns) => apart(ns, 3)))
    expect(verdictOf(three, 'three-button', 'neutral')).toBe('undecided')
    // No frame ties these: there is no end to how many come in one go.
    const edges: number[] = []
    const next = random(3)
    for (let ns = 5_000; ns < FRAMES * FRAME_NS; ns += 90_000 + Math.floor(next() * 90_000))
      edges.push(...read(ns, 1))
    const free = infer(edges)
    expect(startsOf(free)).toMatchObject({ kind: 'interval' })
    expect(verdictOf(free, 'three-button', 'neutral')).toBe('undecided')
  })

  it('with phases of 4 ms is a title', () => {
    const found = infer(everyFrame((ns) => [ns, ns + 4_050_007]))
    expect(cyclesOf(found)).toBe(1)
    expect(verdictOf(found, 'six-button')).toBe('clean')
  })

  it('with an hour of pulses too short for a program, and more than are kept, is undecided where a count matters', () => {
    const next = random(9)
    const noise = Array.from(
      { length: 20_000 },
      (_, k) => 3_000_000 + k * 90_000 + Math.floor(next() * 1_000),
    )
    const edges = [...everyFrame((ns) => read(ns, 1)), ...noise.flatMap((ns) => [ns, ns + 50])]
    const found = infer(
      edges.sort((p, q) => p - q),
      'high',
    )
    expect(verdictOf(found, 'six-button')).toBe('undecided')
    expect(verdictOf(found, 'three-button')).toBe('undecided')
    expect(verdictOf(found, 'three-button', 'neutral')).toBe('clean')
  })
})
