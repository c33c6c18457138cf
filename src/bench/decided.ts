import type { Profile } from '../profile/schema.ts'
import { scheduleOf } from '../title/schedule.ts'
import type { Schedule } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { bothBeliefs, conditionsOf } from './belief.ts'
import type { Belief } from './belief.ts'
import type { Box } from './box.ts'
import { exploreSchedule, isWhole } from './explored.ts'
import type { Exploration } from './explored.ts'
import { hangsOnBelief } from './play/course.ts'
import type { Course } from './play/player.ts'
import { levelOf, rowOf } from './reach/counting.ts'
import { Sight } from './sight.ts'
import type { WorkBudget } from './work-budget.ts'

type Decision = Course['belief']

/**
 * What the ways of a title hang on, where it believes the same of this pad in every read and whatever the profile lets through; otherwise
 * `null`, and it may go either way in each read.
 */
function decisionOf(sight: Sight, { samples }: Exploration): Decision | null {
  const { schedule } = sight
  const { sixButtons } = schedule
  if (sixButtons.kind !== 'told') return null
  const each = sixButtons.by.map(() => new Set<Belief>())
  for (const { awayNs, sample, code } of samples)
    for (const k of awayNs > 0 ? [] : conditionsOf(schedule, sample.uses)) {
      const condition = sixButtons.by[k]
      if (condition) each[k]?.add(sight.belief(condition, rowOf(code), levelOf(code)))
    }
  if (each.some((beliefs) => beliefs.size !== 1)) {
    // One of them that is never so is enough.
    return each.some((beliefs) => beliefs.size === 1 && beliefs.has('never')) ? 'three-buttons' : null
  }
  const belief = sight.within(each.map((beliefs) => [...beliefs][0] as Belief).reduce(bothBeliefs))
  return belief === 0 ? 'six-buttons' : belief === 'never' ? 'three-buttons' : null
}

const DECIDED = new WeakMap<Exploration, Partial<Record<Decision, Exploration>>>()

/** An exploration without the ways that a title never takes in front of this pad. */
export function decided(
  profile: Profile,
  title: Title,
  box: Box,
  exploration: Exploration,
  budget: WorkBudget,
): Exploration {
  const schedule = scheduleOf(title)
  if (!hangsOnBelief(title)) return exploration
  const along = (decision: Decision | null, on: WorkBudget): Exploration =>
    exploreSchedule(scheduleAlong(schedule, decision), profile.chart, box, on, exploration.asked)
  // Where the budget ends, what the title believes is not known: what it meets before the first way that hangs on that, it does meet.
  const beforeBelief = (): Exploration => ({ ...along(null, budget.forFound()), wholeFrames: 0 })
  if (!isWhole(exploration)) return beforeBelief()
  const decision = decisionOf(new Sight(profile, title), exploration)
  if (decision === null) return exploration
  const known = DECIDED.get(exploration) ?? {}
  const explored = known[decision]
  if (explored && budget.pays(explored.work)) return explored
  const found = along(decision, budget)
  if (!isWhole(found)) return beforeBelief()
  DECIDED.set(exploration, { ...known, [decision]: found })
  return found
}

const scheduleAlong = (schedule: Schedule, decision: Decision | null): Schedule => ({
  ...schedule,
  nodes: schedule.nodes.map((node) => ({
    ...node,
    next: node.next.filter(({ onlyIf }) => onlyIf === null || onlyIf === decision),
  })),
})
