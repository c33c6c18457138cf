import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { Beliefs } from './beliefs.ts'
import type { Box } from './box.ts'
import { decided } from './decided.ts'
import type { Exploration } from './explored.ts'
import { leftOverOf } from './left-over.ts'
import type { LeftOver } from './left-over.ts'
import { Sight } from './sight.ts'
import { weigh, wrongness } from './weigh.ts'
import type { Weighed } from './weigh.ts'

/** Everything that can go wrong between a title and a profile in one box. */
export interface WeighedTitle {
  /** From power-on; its margin is also that of what was counted before and goes on for ever. */
  readonly weighed: Weighed
  /** What was counted before; `null` where it goes wrong without that. */
  readonly leftOver: LeftOver | null
  /** What is wrong for as long as the title runs, where what was counted before never comes right. */
  readonly stays: Weighed | null
  /** What it was weighed by from power-on. */
  readonly exploration: Exploration
}

const weighedOf = ({ expected, marginNs, tightest, wrongs }: Weighed): Weighed => ({
  expected,
  marginNs,
  tightest,
  wrongs,
})

export function weighTitle(profile: Profile, title: Title, box: Box, explored: Exploration): WeighedTitle {
  const exploration = decided(title, profile.chart, box, explored)
  const sight = new Sight(profile, title)
  const beliefs = new Beliefs(sight, exploration.samples)
  const weighed = weigh(exploration.samples, sight, title, beliefs)
  if (weighed.wrongs.size > 0) return { weighed, leftOver: null, stays: null, exploration }
  const isWrong = wrongness(exploration.samples, sight, title)
  const leftOver = leftOverOf(title, profile.chart, box, exploration, isWrong)
  if (leftOver.kind === 'settles') {
    const { marginNs, tightest } = weigh(leftOver.goesOn, sight, title, beliefs)
    const nearest = marginNs < weighed.marginNs ? { ...weighedOf(weighed), marginNs, tightest } : weighed
    return { weighed: nearest, leftOver, stays: null, exploration }
  }
  const { samples } = leftOver.exploration
  return { weighed, leftOver, stays: weigh(samples, sight, title, beliefs), exploration }
}
