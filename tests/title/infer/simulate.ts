import { frameNs } from '../../../src/port/clocks.ts'
import type { VideoStandard } from '../../../src/port/clocks.ts'
import type { Level } from '../../../src/port/pins.ts'

/** A select line as a console would drive it, made from the definition of a read in `src/title/schema.ts`. */

export interface Pattern {
  readonly standard: VideoStandard
  readonly offsetsNs: readonly number[]
  readonly cycles: number
  readonly spacingNs: { readonly minNs: number; readonly maxNs: number }
  readonly rest: Level
  readonly jitterNs: number
}

export interface Circumstances {
  readonly frames: number
  /** How far the console's clock is off, in parts per million of its period. */
  readonly ppm?: number
  readonly seed?: number
  /** Of every frame after the first: whether the title skips it. */
  readonly skips?: (frame: number) => boolean
  /** Cycles of one read, where they are not the usual ones. */
  readonly cyclesOf?: (frame: number, read: number) => number
  readonly glitches?: number
  /** The capture begins and ends here, on the line's own clock, which begins with the first frame. */
  readonly fromNs?: number
  readonly toNs?: number
}

export interface Edges {
  readonly timesNs: Float64Array
  readonly values: Uint8Array
  readonly startNs: number
  readonly endNs: number
}

/** What was in fact driven, for a test to compare with: all reads, those that the capture cuts off too. */
export interface Driven {
  readonly frame: number
  readonly read: number
  readonly edgesNs: readonly number[]
}

export interface Simulated extends Edges {
  readonly reads: readonly Driven[]
}

/** A number from 0 up to 1, always the same ones for a seed (a linear congruential generator, modulo 2^32). */
export function random(seed: number): () => number {
  let state = seed >>> 0
  return () => (state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0) / 2 ** 32
}

export function simulate(pattern: Pattern, circumstances: Circumstances): Simulated {
  const { frames, ppm = 0, seed = 1, skips, cyclesOf, glitches = 0 } = circumstances
  const next = random(seed)
  const clock = 1 + ppm / 1e6
  const within = (minNs: number, maxNs: number) => minNs + Math.floor(next() * (maxNs - minNs + 1))
  const reads: Driven[] = []
  for (let frame = 0; frame < frames; frame++) {
    if (frame > 0 && skips?.(frame)) continue
    pattern.offsetsNs.forEach((offsetNs, read) => {
      const placeNs = (frame * frameNs(pattern.standard) + offsetNs) * clock
      let atNs = Math.round(placeNs) + within(0, pattern.jitterNs)
      // From rest high the first phase is the rest itself.
      if (pattern.rest === 'high') atNs += within(pattern.spacingNs.minNs, pattern.spacingNs.maxNs)
      const edgesNs = [atNs]
      const edges = 2 * (cyclesOf?.(frame, read) ?? pattern.cycles)
      while (edgesNs.length < edges) {
        atNs += within(pattern.spacingNs.minNs, pattern.spacingNs.maxNs)
        edgesNs.push(atNs)
      }
      reads.push({ frame, read, edgesNs })
    })
  }
  const lengthNs = Math.round(frames * frameNs(pattern.standard) * clock)
  const timesNs = withGlitches(
    reads.flatMap(({ edgesNs }) => edgesNs),
    lengthNs,
    glitches,
    next,
  )
  const { fromNs = 0, toNs = lengthNs } = circumstances
  return { ...cut(timesNs, pattern.rest, fromNs, toNs), reads }
}

/** Pulses shorter than any phase, away from all edges and from each other. */
function withGlitches(
  edgesNs: readonly number[],
  lengthNs: number,
  count: number,
  next: () => number,
): readonly number[] {
  const AWAY_NS = 300
  const all = [...edgesNs]
  const places: number[] = []
  for (let tries = 0; places.length < count && tries < 50 * count; tries++) {
    const atNs = 1_000 + Math.floor(next() * (lengthNs - 2_000))
    if (![...edgesNs, ...places].every((ns) => Math.abs(ns - atNs) > AWAY_NS)) continue
    places.push(atNs)
    all.push(atNs, atNs + Math.floor(next() * 100))
  }
  return all.sort((a, b) => a - b)
}

function cut(edgesNs: readonly number[], rest: Level, fromNs: number, toNs: number): Edges {
  const resting = rest === 'high' ? 1 : 0
  const before = edgesNs.filter((ns) => ns <= fromNs).length
  const inside = edgesNs.filter((ns) => ns > fromNs && ns <= toNs)
  return {
    timesNs: Float64Array.from([0, ...inside.map((ns) => ns - fromNs)]),
    values: Uint8Array.from([0, ...inside], (_, k) => (before + k + resting) % 2),
    startNs: 0,
    endNs: toNs - fromNs,
  }
}

/** Columns from a list of times and levels (`0`, `1`, `x`, `z`). */
export function edgesOf(changes: readonly (readonly [number, string])[], endNs: number): Edges {
  return {
    timesNs: Float64Array.from(changes, ([atNs]) => atNs),
    values: Uint8Array.from(changes, ([, value]) => '01xz'.indexOf(value)),
    startNs: changes[0]?.[0] ?? 0,
    endNs,
  }
}
