import { frameNs } from '../port/clocks.ts'
import type { Level } from '../port/pins.ts'
import type { RangeNs } from '../port/range.ts'
import type { Title } from './schema.ts'
import { atLeastNs, atMostNs } from './tolerance.ts'

/**
 * When a title does what to the port: one node for each instant at which it writes select or opens a phase, with the ways that lead
 * on from there. The ways close into a ring, so that all frames are in it. What explores, plays or draws a title asks here.
 */
export interface Schedule {
  /** Level of select before the first read. */
  readonly idleLevel: Level
  /** In the order of a frame; the first one begins the first read after power-on. */
  readonly nodes: readonly ScheduleNode[]
  /** From a release of select to its rise; `null` where no node releases it. */
  readonly rise: RangeNs | null
}

export interface ScheduleNode {
  /** Within the frame, from 0. */
  readonly read: number
  /** Within the read, from 0. */
  readonly phase: number
  /** What is written to select; `null` where nothing is, or it rests at this level already. */
  readonly writes: 'low' | 'high' | 'release' | null
  /** In the order in which they come. */
  readonly samples: readonly NodeSample[]
  /** At least one. Within a frame all lead to later nodes, and in a read that identifies none leads round that. */
  readonly next: readonly Way[]
}

/** One look at the pins, for all that the title takes from them at that instant. */
export interface NodeSample {
  /** From the instant of the node; always before the next node. */
  readonly after: RangeNs
  /** Samples of the title by their index, and `IDENTIFIES`. */
  readonly uses: readonly number[]
  /** Whether one of them counts only in a read in which the title believes in six buttons. */
  readonly waits: boolean
}

/** Stands among the uses of a sample for the title asking whether this pad has six buttons. */
export const IDENTIFIES = -1

/** How a title comes from one node to another. */
export type Way = {
  /** Index of the node that it leads to. */
  readonly to: number
  /** Whether a new frame, or a new turn of what is tied to none, begins there. */
  readonly isNextFrame: boolean
} & (
  | {
      /** Within a read, or to a read that is tied to the one before it and to no frame: from instant to instant. */
      readonly kind: 'gap'
      readonly lasts: RangeNs
      /** What it can last instead, once in a read at the most. */
      readonly stretched: RangeNs | null
    }
  | {
      /** To the first node of a read with a place of its own in the frame. */
      readonly kind: 'place'
      /** From the place of this read to that of the next. */
      readonly lasts: RangeNs
      /** From the place of the next read to its first node. */
      readonly late: RangeNs
    }
)

const SCHEDULES = new WeakMap<Title, Schedule>()

/** The schedule of a title; worked out once. */
export function scheduleOf(title: Title): Schedule {
  const known = SCHEDULES.get(title)
  if (known) return known
  const schedule: Schedule = {
    idleLevel: title.rest,
    nodes: listNodes(title),
    rise: title.drive.kind === 'released' ? title.drive.riseNs : null,
  }
  SCHEDULES.set(title, schedule)
  return schedule
}

function listNodes(title: Title): ScheduleNode[] {
  const { rest, cyclesPerRead, readOffsetsNs, edgeSpacingNs, readJitterNs } = title
  // From rest high one more rise brings select back; from rest low the last fall has done so.
  const phases = 2 * cyclesPerRead + (rest === 'high' ? 1 : 0)
  const reads = readOffsetsNs.length
  const ways = toNextRead(title)
  const late = { minNs: 0, maxNs: readJitterNs }
  return readOffsetsNs.flatMap((_, read) =>
    Array.from({ length: phases }, (_, phase): ScheduleNode => {
      const here = read * phases + phase
      const isLast = phase === phases - 1
      const to = (here + 1) % (reads * phases)
      const isNextFrame = to === 0
      const next: Way = isLast
        ? { kind: 'place', to, isNextFrame, lasts: ways[read] as RangeNs, late }
        : { kind: 'gap', to, isNextFrame, lasts: edgeSpacingNs, stretched: null }
      return { read, phase, writes: writesIn(title, phase), samples: samplesIn(title, phase), next: [next] }
    }),
  )
}

function writesIn({ rest, drive }: Title, phase: number): ScheduleNode['writes'] {
  // From rest high the first phase is the rest itself.
  if (phase === 0 && rest === 'high') return null
  if (phase % 2 === 1) return 'low'
  return drive.kind === 'released' ? 'release' : 'high'
}

function samplesIn({ samples, sixButtons, sampleAfterEdgeNs }: Title, phase: number): NodeSample[] {
  const isHere = (place: { readonly cycle: number; readonly level: Level }): boolean =>
    phaseOf(place) === phase
  const uses = samples.flatMap((sample, k) => (isHere(sample) ? [k] : []))
  const waits = uses.some((k) => samples[k]?.when === 'six-buttons')
  if (sixButtons.kind === 'identified' && isHere(sixButtons)) uses.unshift(IDENTIFIES)
  return uses.length === 0 ? [] : [{ after: sampleAfterEdgeNs, uses, waits }]
}

/** From the place of each read to that of the next, with the console's clock as far off as it may be; the last leads to the next frame. */
function toNextRead({ readOffsetsNs, standard, clockPpm }: Title): RangeNs[] {
  const firstNs = readOffsetsNs[0] as number
  return readOffsetsNs.map((offsetNs, k) => {
    const ns = (readOffsetsNs[k + 1] ?? firstNs + frameNs(standard)) - offsetNs
    return { minNs: atLeastNs(ns, clockPpm), maxNs: atMostNs(ns, clockPpm) }
  })
}

/** The way to the first node: as late as that read ever is. */
export function firstWay({ nodes }: Schedule): Extract<Way, { kind: 'place' }> {
  const ways = nodes.flatMap(({ next }) => next).filter((way) => way.to === 0)
  const placed = ways.find((way) => way.kind === 'place')
  const none = { minNs: 0, maxNs: 0 }
  const late = placed?.kind === 'place' ? placed.late : none
  return { kind: 'place', to: 0, isNextFrame: false, lasts: none, late }
}

/** Number of a phase within the read, from 0, by its cycle, from 1, and level. */
export const phaseOf = ({ cycle, level }: { readonly cycle: number; readonly level: Level }): number =>
  (cycle - 1) * 2 + (level === 'low' ? 1 : 0)
