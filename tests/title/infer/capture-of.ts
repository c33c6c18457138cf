import type { Chart } from '../../../src/port/chart.ts'
import type { Input } from '../../../src/port/pins.ts'
import type { RangeNs } from '../../../src/port/range.ts'
import { writeVcd } from '../../../src/title/vcd/write.ts'
import type { Title } from '../../../src/title/schema.ts'
import { playLine } from '../../bench/play-steps.ts'
import type { Chance, PadTimes, PlayedLine } from '../../bench/play-steps.ts'
import { random } from './simulate.ts'

/** How the select line of a title is captured. */
export interface Capturing {
  readonly seed: number
  /** How long from power-on the title is played. */
  readonly lastsNs: number
  /** The capture begins here; 0: it has the power-on. */
  readonly fromNs: number
  /** Time between two samples of the analyser, in ns, exact; 0: as fine as a file can say. */
  readonly gridNs: number
  /** Pulses of less than 100 ns that come of nothing that the title does. */
  readonly glitches: number
  /** Of every so many rises one bounces for 180 ns; 0: none does. */
  readonly bounces: number
}

/** A pad in front of the console. */
export interface FrontPad {
  readonly chart: Chart
  readonly times: PadTimes
}

export interface Captured {
  readonly title: Title
  readonly how: Capturing
  /** What the title did to select, from power-on on. */
  readonly changes: PlayedLine['changes']
  /** Rises that came of nothing that the title did, and that a pad may count. */
  readonly noiseNs: readonly number[]
  readonly vcd: string
  /** Changes in the file. */
  readonly edges: number
}

const MODE_LASTS = 25
const BOUNCES_AFTER_NS = 60

export function chanceOf(seed: number): Chance {
  const next = random(seed)
  // The first numbers of near seeds are near each other.
  for (let k = 0; k < 8; k++) next()
  const oneOf = (n: number): number => Math.min(n - 1, Math.floor(next() * n))
  return { draw: ({ minNs, maxNs }: RangeNs) => minNs + oneOf(maxNs - minNs + 1), oneOf }
}

function played(
  title: Title,
  { chart, times }: FrontPad,
  how: Capturing,
  held: readonly Input[],
  noiseNs: readonly number[],
  padSeed: number,
) {
  return playLine(title, chart, times, new Set(held), {
    title: chanceOf(how.seed),
    pad: chanceOf(padSeed),
    untilNs: how.lastsNs,
    modeLasts: MODE_LASTS,
    noiseNs,
  })
}

/** Captures a title in front of a pad on which nothing is held. */
export function captureOf(title: Title, pad: FrontPad, how: Capturing): Captured {
  const changes = played(title, pad, how, [], [], 1).changes.filter(({ atNs }) => atNs <= how.lastsNs)
  const noise = noiseOf(
    changes.map(({ atNs }) => atNs),
    changes.filter(({ level }) => level === 'high').map(({ atNs }) => atNs),
    how,
  )
  const pulses = [...changes.map(({ atNs }) => atNs), ...noise.flat()].sort((p, q) => p - q)
  const seen = sampled(pulses, title.idle === 'high', how)
  const vcd = writeVcd({
    module: 'port',
    signals: ['select'],
    initial: { select: seen.isHigh ? '1' : '0' },
    changes: seen.timesNs.map((atNs, k) => ({
      atNs,
      signal: 'select',
      value: seen.isHigh === (k % 2 === 1) ? '1' : '0',
    })),
    endNs: how.lastsNs - how.fromNs,
  })
  return {
    title,
    how,
    changes,
    noiseNs: noise.filter((pulse) => shows(pulse, how)).map(([, ends]) => ends),
    vcd,
    edges: seen.timesNs.length,
  }
}

/** Whether the title gets something wrong in what was captured, in front of a pad that shows it the same line. */
export function misreadsIn(
  { title, how, changes, noiseNs }: Captured,
  pad: FrontPad,
  held: readonly Input[],
  padSeed: number,
): boolean {
  const line = played(title, pad, how, held, noiseNs.length > 0 && padSeed % 2 === 1 ? noiseNs : [], padSeed)
  const isSame = changes.every(({ atNs, level }, k) => {
    const other = line.changes[k]
    return other?.atNs === atNs && other.level === level
  })
  return isSame && line.mistakes.some(({ atNs }) => atNs >= how.fromNs && atNs <= how.lastsNs)
}

/** Pulses, from their start to their end. */
function noiseOf(
  edgesNs: readonly number[],
  risesNs: readonly number[],
  { seed, lastsNs, glitches, bounces }: Capturing,
) {
  const AWAY_NS = 300
  const next = random(seed + 17)
  const noise: [number, number][] = []
  const isFree = (atNs: number): boolean => edgesNs.every((ns) => Math.abs(ns - atNs) > AWAY_NS)
  for (let tries = 0; noise.length < glitches && tries < 10 * glitches; tries++) {
    // Half of them come where something happens.
    const near = edgesNs[Math.floor(next() * edgesNs.length)] ?? 0
    const atNs = next() < 0.5 ? near + AWAY_NS + 1 + Math.floor(next() * 1_000) : Math.floor(next() * lastsNs)
    if (isFree(atNs) && !noise.some(([ns]) => Math.abs(ns - atNs) < AWAY_NS))
      noise.push([atNs, atNs + 20 + Math.floor(next() * 70)])
  }
  if (bounces > 0)
    risesNs.forEach((ns, k) => {
      if (k % bounces === 0) noise.push([ns + BOUNCES_AFTER_NS, ns + BOUNCES_AFTER_NS + 180])
    })
  return noise.sort(([p], [q]) => p - q)
}

/** A pulse shows where a sample falls into it, and one into the time before it: what is in no capture is not told by it. */
function shows([fromNs, toNs]: readonly [number, number], { fromNs: startNs, gridNs }: Capturing): boolean {
  const isSampled = (from: number, to: number): boolean =>
    Math.ceil((from - startNs) / gridNs) * gridNs < to - startNs
  return gridNs === 0 || (isSampled(fromNs - BOUNCES_AFTER_NS, fromNs) && isSampled(fromNs, toNs))
}

/** What an analyser keeps of a line that turns at these times. */
function sampled(turnsNs: readonly number[], isHigh: boolean, { fromNs, lastsNs, gridNs }: Capturing) {
  const startsHigh = isHigh === (turnsNs.filter((ns) => ns <= fromNs).length % 2 === 0)
  const inside = turnsNs.filter((ns) => ns > fromNs && ns < lastsNs).map((ns) => ns - fromNs)
  if (gridNs === 0) return { isHigh: startsHigh, timesNs: inside }
  const timesNs: number[] = []
  // Two changes between the same two samples are none.
  for (const ns of inside) {
    const atNs = Math.round(Math.ceil(ns / gridNs) * gridNs)
    if (timesNs.at(-1) === atNs) timesNs.pop()
    else timesNs.push(atNs)
  }
  return { isHigh: startsHigh, timesNs: timesNs.filter((ns) => ns <= lastsNs - fromNs) }
}
