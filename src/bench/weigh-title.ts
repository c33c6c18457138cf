import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { Beliefs } from './beliefs.ts'
import type { Box } from './box.ts'
import { decided } from './decided.ts'
import { isWhole, leftOverFrames } from './explored.ts'
import type { Exploration } from './explored.ts'
import { leftOverOf } from './left-over.ts'
import type { LeftOver } from './left-over.ts'
import type { SampledReply } from './reach/meets.ts'
import { Sight } from './sight.ts'
import { weigh, wrongness } from './weigh.ts'
import type { Weighed } from './weigh.ts'
import { WorkBudget } from './work-budget.ts'

/** Which samples are weighed. */
export type IsMeant = (reply: SampledReply) => boolean

/** Everything that can go wrong between a title and a profile in one box. */
export interface WeighedTitle {
  /** From power-on; its margin is also that of what was counted before and goes on for ever. */
  readonly weighed: Weighed
  /** What was counted before; `null` where it goes wrong without that, and where the budget ended first. */
  readonly leftOver: LeftOver | null
  /** What is wrong for as long as the title runs, where what was counted before never comes right. */
  readonly stays: Weighed | null
  /** What it was weighed by from power-on. */
  readonly exploration: Exploration
  /** Whether the budget was enough for all of it; otherwise what is wrong is so, and there can be more. */
  readonly isWhole: boolean
  /** The same of some of its samples alone; what is believed hangs on all of them all the same. */
  readonly within: (isMeant: IsMeant) => Pick<WeighedTitle, 'weighed' | 'stays'>
}

/** @param sight what was seen of this title in front of this profile before */
export function weighTitle(
  profile: Profile,
  title: Title,
  box: Box,
  explored: Exploration,
  budget = new WorkBudget(),
  sight = new Sight(profile, title),
): WeighedTitle {
  const exploration = decided(profile, title, box, explored, budget)
  const beliefs = new Beliefs(sight, exploration.samples, isWhole(exploration))
  const weighedBy = (samples: readonly SampledReply[], isMeant?: IsMeant): Weighed =>
    weigh(samples, sight, title, beliefs, isMeant)
  const leftOverWhere = ({ wrongs }: Weighed): LeftOver | null =>
    wrongs.size > 0 || !isWhole(exploration)
      ? null
      : leftOverOf(
          title,
          leftOverFrames(title, profile.chart, box),
          exploration,
          wrongness(sight, title, beliefs),
          budget,
        )
  const all = weighedBy(exploration.samples)
  const leftOver = leftOverWhere(all)
  const withLeftOver = (fromPowerOn: Weighed, isMeant?: IsMeant): Pick<WeighedTitle, 'weighed' | 'stays'> => {
    if (leftOver === null) return { weighed: fromPowerOn, stays: null }
    if (leftOver.kind === 'stays')
      return { weighed: fromPowerOn, stays: weighedBy(leftOver.exploration.samples, isMeant) }
    if (leftOver.goesOn.length === 0) return { weighed: fromPowerOn, stays: null }
    const { marginNs, tightest } = weighedBy(leftOver.goesOn, isMeant)
    const isNearer = marginNs < fromPowerOn.marginNs
    return {
      weighed: isNearer ? { ...fromPowerOn, marginNs, tightest } : fromPowerOn,
      stays: null,
    }
  }
  const { weighed, stays } = withLeftOver(all)
  return {
    weighed,
    stays,
    leftOver,
    exploration,
    isWhole:
      isWhole(exploration) &&
      (all.wrongs.size > 0 || (leftOver !== null && (leftOver.kind === 'settles' || leftOver.isWhole))),
    within: (isMeant) => withLeftOver(weighedBy(exploration.samples, isMeant), isMeant),
  }
}
