import type { Chart } from '../port/chart.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Schedule } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { isSameBox } from './box.ts'
import type { Box } from './box.ts'
import { LeftOverFrames } from './left-over-frames.ts'
import { WorkBudget } from './work-budget.ts'
import { POWER_ON, explore } from './reach/explore.ts'
import type { Reach, Terrain } from './reach/explore.ts'
import { meetsOf, metOf } from './reach/meets.ts'
import type { SampledReply } from './reach/meets.ts'
import { isSameShape, shapeOf } from './reach/shape.ts'
import type { ChartShape } from './reach/shape.ts'
import type { HeldStates } from './reach/state.ts'

/** Everything that the samples of a title can meet with these times, and how far away all else is. */
export interface Exploration {
  /** As much of what was followed as is asked of it when its samples are known. */
  readonly reach: Terrain & Pick<Reach, 'count'>
  readonly held: HeldStates
  readonly samples: readonly SampledReply[]
  readonly isExact: boolean
  /** Whether how it was put together can hang on by how much a reset is in doubt, though not what is met. */
  readonly hangsOnDoubt: boolean
  /** So many frames from power-on are in it whole; infinite unless the budget ended first. */
  readonly wholeFrames: number
  readonly asked: AskedOf
  /** What it took. */
  readonly work: number
}

/** Whether all that can come is in it; otherwise what is in it can come, and more. */
export const isWhole = ({ wholeFrames }: Pick<Exploration, 'wholeFrames'>): boolean =>
  wholeFrames === Infinity

/** What is asked of an exploration. */
export type AskedOf =
  /** All that samples meet, how they come to it, and how far away all else is. */
  | 'everything'
  /** What samples meet, and no more: whether anything goes wrong, and not by how much. */
  | 'what-is-met'

/** What is followed of a title with these times. None of it hangs on what the cells of a chart say. */
interface Remembered {
  readonly shape: ChartShape
  readonly box: Box
  /** From power-on; nothing for what was not asked yet, or not followed whole. */
  readonly explorations: { [asked in AskedOf]?: Exploration }
  readonly leftOver: LeftOverFrames
}

/** The latest of each title last. */
const REMEMBERED = new WeakMap<Title, Remembered[]>()

/** A judgement asks for the times as they are, and for them and more up to a margin; another edit brings back those of the one before. */
const MOST_REMEMBERED = 4

/** What is remembered of a title until it is asked with some other times: an edit of a cell changes nothing of it. */
function remembered(title: Title, chart: Chart, box: Box): Remembered {
  const shape = shapeOf(chart)
  let all = REMEMBERED.get(title)
  if (all === undefined) REMEMBERED.set(title, (all = []))
  const at = all.findLastIndex((one) => isSameShape(one.shape, shape) && isSameBox(one.box, box))
  const [known] = at === -1 ? [] : all.splice(at, 1)
  const one = known ?? {
    shape,
    box,
    explorations: {},
    leftOver: new LeftOverFrames(scheduleOf(title), shape, box),
  }
  all.push(one)
  if (all.length > MOST_REMEMBERED) all.shift()
  return one
}

export function explored(
  title: Title,
  chart: Chart,
  box: Box,
  budget = new WorkBudget(),
  asked: AskedOf = 'everything',
): Exploration {
  const { explorations } = remembered(title, chart, box)
  const known = explorations[asked]
  if (known && budget.pays(known.work)) return known
  const exploration = exploreSchedule(scheduleOf(title), chart, box, budget, asked)
  if (isWhole(exploration)) explorations[asked] = exploration
  return exploration
}

/** Frames from every count that can be left over. */
export const leftOverFrames = (title: Title, chart: Chart, box: Box): LeftOverFrames =>
  remembered(title, chart, box).leftOver

/** From power-on. Where the budget ends on the way, what was found up to there is looked at all the same. */
export function exploreSchedule(
  schedule: Schedule,
  chart: Chart,
  box: Box,
  budget: WorkBudget,
  asked: AskedOf = 'everything',
): Exploration {
  const left = budget.left
  const reach = explore(schedule, shapeOf(chart), box, [POWER_ON], budget)
  const found = budget.forFound()
  const forFound = found.left
  const samples = asked === 'everything' ? meetsOf(reach, found) : metOf(reach, found)
  budget.spend(forFound - found.left)
  return {
    reach: { steps: reach.steps, pairs: reach.pairs, count: reach.count },
    held: reach.held(),
    samples,
    isExact: reach.isExact,
    hangsOnDoubt: reach.hangsOnDoubt,
    asked,
    wholeFrames: found.isSpent ? 0 : reach.wholeFrames,
    work: left - budget.left,
  }
}
