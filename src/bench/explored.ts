import type { Chart } from '../port/chart.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Schedule } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import type { Box } from './box.ts'
import { explore } from './reach/explore.ts'
import type { Reach } from './reach/explore.ts'
import { meetsOf } from './reach/meets.ts'
import type { SampledReply } from './reach/meets.ts'
import { shapeOf } from './reach/shape.ts'

/** Everything that the samples of a title can meet with these times, and how far away all else is. */
export interface Exploration {
  readonly reach: Reach
  readonly samples: readonly SampledReply[]
  readonly isExact: boolean
}

interface Known {
  readonly key: string
  readonly exploration: Exploration
}

/** The latest of each title. */
const KNOWN = new WeakMap<Title, Known>()

/** Remembered until the title is asked with other times: an edit of a cell changes nothing of it. */
export function explored(title: Title, chart: Chart, box: Box): Exploration {
  const { reply, idleReset, rise } = box
  const key = JSON.stringify([chart.cycles.length, chart.after.kind, reply, idleReset, rise])
  const known = KNOWN.get(title)
  if (known?.key === key) return known.exploration
  const exploration = exploreTitle(title, chart, box)
  KNOWN.set(title, { key, exploration })
  return exploration
}

export function exploreTitle(title: Title, chart: Chart, box: Box): Exploration {
  return exploreSchedule(scheduleOf(title), chart, box)
}

export function exploreSchedule(schedule: Schedule, chart: Chart, box: Box): Exploration {
  const reach = explore(schedule, shapeOf(chart), box)
  return { reach, samples: meetsOf(reach), isExact: reach.isExact }
}
