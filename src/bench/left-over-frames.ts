import type { Schedule } from '../title/schedule.ts'
import type { Box } from './box.ts'
import { FrameByFrame, explore, terrainOf } from './reach/explore.ts'
import type { Reach, Start, Terrain } from './reach/explore.ts'
import { meetsFrom, meetsOf, metIn } from './reach/meets.ts'
import type { SampledReply } from './reach/meets.ts'
import { rowsOf } from './reach/shape.ts'
import type { ChartShape } from './reach/shape.ts'
import { timesOf } from './reach/state.ts'
import type { StateTimes } from './reach/state.ts'
import type { MetReply } from './weigh.ts'
import type { WorkBudget } from './work-budget.ts'

/** One frame after something was counted before the first read. */
export interface LeftOverFrame {
  /** States with which it begins, and with which the next one does. */
  readonly begins: readonly StateTimes[]
  readonly ends: readonly StateTimes[]
  /** All that its samples meet. */
  readonly met: readonly MetInFrame[]
  /** States that were followed up to its end. */
  readonly count: number
  readonly isExact: boolean
}

export type MetInFrame = MetReply & Pick<SampledReply, 'node'>

/** What samples can meet for as long as the title runs. */
export interface MetForEver {
  readonly samples: readonly SampledReply[]
  /** Whether that is all; otherwise the budget ended first. */
  readonly isWhole: boolean
}

/** What was followed with one budget or another, and what it took. */
interface Known {
  readonly frames: (LeftOverFrame & { readonly followWork: number; readonly meetWork: number })[]
  /** By the number of frames that were followed, and the frame from which on it is asked. */
  readonly forEver: Map<string, { readonly samples: readonly SampledReply[]; readonly work: number }>
}

/**
 * The frames of a title from every count that can be left over before the first read. They hang on no cell of a chart, so they are remembered; how
 * many of them are asked for does.
 */
export class LeftOverFrames {
  readonly #known: Known = { frames: [], forEver: new Map() }

  constructor(
    private readonly schedule: Schedule,
    private readonly shape: ChartShape,
    private readonly box: Box,
  ) {}

  /** From the first one on. */
  walk(budget: WorkBudget): LeftOverWalk {
    return new LeftOverWalk(this.schedule, this.shape, this.box, this.#known, budget)
  }
}

/** One frame after another, on one budget. What is remembered is taken for what it cost, so that nothing hangs on what was asked before. */
export class LeftOverWalk {
  /** Frames that are followed now; `null` for as long as all that was asked for is remembered. */
  #frames: FrameByFrame | null = null
  /** How many were asked for. */
  #count = 0

  constructor(
    private readonly schedule: Schedule,
    private readonly shape: ChartShape,
    private readonly box: Box,
    private readonly known: Known,
    private readonly budget: WorkBudget,
  ) {}

  /** @returns `null` where the budget ended first */
  next(): LeftOverFrame | null {
    const { known, budget } = this
    const frame = this.#frames === null ? known.frames[this.#count] : undefined
    if (frame === undefined) return this.#follow()
    budget.spend(frame.followWork + frame.meetWork)
    this.#count++
    return budget.isSpent ? null : frame
  }

  /** What it takes to take a step of them again. */
  get terrain(): Terrain {
    return terrainOf(this.schedule, this.shape, this.box)
  }

  /** What samples can meet from a frame on, in all that was asked for. */
  forEver(from: number): MetForEver {
    return this.#remembered(`${this.#count} ${from}`, () => meetsFrom(this.#reach, from, this.budget))
  }

  /** What samples can meet however the frames follow one another. */
  inAnyOrder(): MetForEver {
    const { schedule, shape, box, budget } = this
    return this.#remembered('any', () =>
      meetsOf(explore(schedule, shape, box, startsFor(shape), budget), budget),
    )
  }

  #remembered(key: string, find: () => readonly SampledReply[]): MetForEver {
    const { known, budget } = this
    const found = known.forEver.get(key)
    if (found && budget.pays(found.work)) return { samples: found.samples, isWhole: true }
    const before = budget.left
    const samples = find()
    const isWhole = !budget.isSpent
    if (isWhole) known.forEver.set(key, { samples, work: before - budget.left })
    return { samples, isWhole }
  }

  #follow(): LeftOverFrame | null {
    const { known, budget } = this
    const before = budget.left
    const frames = this.#followed()
    const at = this.#count++
    const begins = known.frames[at - 1]?.ends ?? frames.states.map(timesOf)
    frames.next()
    const followed = budget.left
    const all = metIn(frames.reach, at, budget)
    if (budget.isSpent) return null
    const { count, isExact } = frames.reach
    const frame = {
      begins,
      // How they were come to takes much room, and nobody asks for it.
      ends: frames.states.map(timesOf),
      met: all.map(({ node, sample, code, identified, awayNs }): MetInFrame => ({
        node,
        sample,
        code,
        identified,
        awayNs,
      })),
      count,
      isExact,
      followWork: before - followed,
      meetWork: followed - budget.left,
    }
    known.frames[at] = frame
    return frame
  }

  get #reach(): Reach {
    return this.#followed().reach
  }

  /** The frames up to here; those that are remembered followed once more, for the work that was taken for them. */
  #followed(): FrameByFrame {
    if (this.#frames) return this.#frames
    const { schedule, shape, box, known, budget } = this
    const again = known.frames.slice(0, this.#count)
    for (const { followWork } of again) budget.spend(-followWork)
    const frames = new FrameByFrame(schedule, shape, box, startsFor(shape), budget)
    again.forEach(() => frames.next())
    return (this.#frames = frames)
  }
}

/** Every count that can be left over, with its idle reset to come at any time. */
const startsFor = (shape: ChartShape): Start[] =>
  Array.from({ length: rowsOf(shape) }, (_, row) => ({ row, isResetDue: true }))
