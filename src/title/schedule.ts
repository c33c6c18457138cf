import type { Input, Level, Pin } from '../port/pins.ts'
import type { RangeNs } from '../port/range.ts'
import type { Title } from './schema.ts'
import { layOutTitle } from './steps/lay-out-title.ts'

/**
 * When a title does what to the port, and what it makes of it: one node for each instant at which it writes select or from which a step is
 * counted, with the ways that lead on from there. The ways close into a ring, so that all frames are in it. What explores, plays, weighs or
 * draws a title asks here, and nowhere else what its steps mean.
 */
export interface Schedule {
  /** Level of select before the first read. */
  readonly idleLevel: Level
  /** How late the first read after power-on may begin. */
  readonly opensLate: RangeNs
  /** In the order of a frame, mode by mode; the first one begins the first read after power-on. */
  readonly nodes: readonly ScheduleNode[]
  /** From a release of select to its rise; `null` where no node releases it. */
  readonly rise: RangeNs | null
  /** All samples that a title takes, wherever in the frame it takes them. */
  readonly samples: readonly TakenSample[]
  readonly sixButtons: Telling
  /** Of the fullest frame, or turn. */
  readonly readsPerFrame: number
}

export interface ScheduleNode {
  /** Which of the title's modes, from 0. */
  readonly mode: number
  /** In the order of the ring, from 0. */
  readonly read: number
  /** Of the reads of its frame, from 0. */
  readonly readOfFrame: number
  /** From the start of the frame to the place of its read; 0 where no frame ties it. */
  readonly offsetNs: number
  /** Within the read, from 0. */
  readonly phase: number
  /** What is written to select; `null` where nothing is, or it rests at this level already. */
  readonly writes: 'low' | 'high' | 'release' | null
  /** In how many gaps of its read the title can be held up; 1 where nothing is said. */
  readonly stretches?: number
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
  /** Whether one of them counts only in a read in which the title believes in six buttons, and that is told in one sample of the read. */
  readonly waits: boolean
  /** Whether it looks at select itself, whose level takes no reply. */
  readonly isReadBack: boolean
}

/** Stands among the uses of a sample for the title asking whether this pad has six buttons. */
export const IDENTIFIES = -1

/** What a title makes of a sample. */
export interface TakenSample {
  /** Which input each pin is taken for; a pin that it does not look at is left out. */
  readonly pins: Readonly<Partial<Record<Pin, Input>>>
  /** The input that the level of select itself is mixed into. */
  readonly readBack: Input | null
  readonly when: 'always' | 'six-buttons'
  /** The sample, by its index, that has to show the same of a pin for it to be believed. */
  readonly agreesWith: Readonly<Partial<Record<Pin, number>>>
  readonly place: StepPlace
}

/** Where a read stands in a title, as the file has it; from 0. */
export interface ReadPlace {
  readonly mode: number
  readonly read: number
}

/** Where in a title's code a sample is taken. */
export interface StepPlace extends ReadPlace {
  /** Step of the read, with repeats written out; from 0. */
  readonly step: number
  /** Cycle of the read, from 1, as the title moves select: each rise opens one, as on the phase chart. */
  readonly cycle: number
  readonly level: Level
}

/** How a title tells six buttons. */
export type Telling =
  | { readonly kind: 'never' }
  | { readonly kind: 'assumed' }
  | {
      readonly kind: 'told'
      /** All of them have to be so. */
      readonly by: readonly Condition[]
      readonly holds: 'read' | 'onwards'
      /** Whether one sample tells it all, and what waits for it is in the same read. */
      readonly isAtOnce: boolean
    }

export interface Condition {
  /** Any of these samples, by their index: one for each read that asks. */
  readonly samples: readonly number[]
  readonly low: readonly Pin[]
  readonly high: readonly Pin[]
}

/** How a title comes from one node to another. */
export type Way = {
  /** Index of the node that it leads to. */
  readonly to: number
  /** How many new frames, or new turns of what is tied to none, begin on the way. */
  readonly frames: number
  /** What the title must believe to take it. */
  readonly onlyIf: 'six-buttons' | 'three-buttons' | null
} & (
  | {
      /** Within a read, or to a read that is tied to the one before it and to no frame: from instant to instant. */
      readonly kind: 'gap'
      readonly lasts: RangeNs
      /** What it can last instead, in as many gaps of the read as its nodes say. */
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
  const laid = layOutTitle(title)
  if (!laid.ok) throw new Error(`a title that was read has a schedule: ${laid.error.message}`)
  SCHEDULES.set(title, laid.value)
  return laid.value
}

/** The way to the first node: as late as that read ever is. */
export const firstWay = ({ opensLate }: Schedule): Extract<Way, { kind: 'place' }> => ({
  kind: 'place',
  to: 0,
  frames: 0,
  onlyIf: null,
  lasts: { minNs: 0, maxNs: 0 },
  late: opensLate,
})
