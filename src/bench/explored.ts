import type { Chart } from '../port/chart.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Schedule } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import type { Box } from './box.ts'
import { WorkBudget } from './work-budget.ts'
import { POWER_ON, explore } from './reach/explore.ts'
import type { Reach } from './reach/explore.ts'
import { meetsOf } from './reach/meets.ts'
import type { SampledReply } from './reach/meets.ts'
import { shapeOf } from './reach/shape.ts'

/** Everything that the samples of a title can meet with these times, and how far away all else is. */
export interface Exploration {
  readonly reach: Reach
  readonly samples: readonly SampledReply[]
  readonly isExact: boolean
  /** So many frames from power-on are in it whole; infinite unless the budget ended first. */
  readonly wholeFrames: number
  /** What it took. */
  readonly work: number
}

/** Whether all that can come is in it; otherwise what is in it can come, and more. */
export const isWhole = ({ wholeFrames }: Pick<Exploration, 'wholeFrames'>): boolean =>
  wholeFrames === Infinity

interface Known {
  readonly key: string
  readonly exploration: Exploration
}

/** The latest of each title. */
const KNOWN = new WeakMap<Title, Known>()

/** Remembered until the title is asked with other times: an edit of a cell changes nothing of it. */
export function explored(title: Title, chart: Chart, box: Box, budget = new WorkBudget()): Exploration {
  const { reply, idleReset, rise } = box
  const key = JSON.stringify([chart.cycles.length, chart.after.kind, reply, idleReset, rise])
  const known = KNOWN.get(title)
  if (known?.key === key && budget.pays(known.exploration.work)) return known.exploration
  const exploration = exploreTitle(title, chart, box, budget)
  if (isWhole(exploration)) KNOWN.set(title, { key, exploration })
  return exploration
}

export function exploreTitle(title: Title, chart: Chart, box: Box, budget = new WorkBudget()): Exploration {
  return exploreSchedule(scheduleOf(title), chart, box, budget)
}

/** From power-on. Where the budget ends on the way, what was found up to there is looked at all the same. */
export function exploreSchedule(schedule: Schedule, chart: Chart, box: Box, budget: WorkBudget): Exploration {
  const before = budget.left
  const reach = explore(schedule, shapeOf(chart), box, [POWER_ON], budget)
  const found = budget.forFound()
  const forFound = found.left
  const samples = meetsOf(reach, found)
  budget.spend(forFound - found.left)
  return {
    reach,
    samples,
    isExact: reach.isExact,
    wholeFrames: found.isSpent ? 0 : reach.wholeFrames,
    work: before - budget.left,
  }
}
