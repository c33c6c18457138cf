import { samePhase } from '../../port/chart.ts'
import type { Cycle } from '../../port/chart.ts'
import { LIMITS } from '../../profile/schema.ts'
import type { Profile } from '../../profile/schema.ts'
import { firstCycleHold } from './holds.ts'

/** What the adapter answers once a power-on rule has kept it to the first cycle: that cycle, for ever. */
export function keptToFirstCycle(profile: Profile): Profile {
  const reply = profile.chart.cycles[0] as Cycle
  return { ...profile, chart: { cycles: [reply], after: { kind: 'stay', reply } } }
}

const sameCycle = (p: Cycle, q: Cycle): boolean => samePhase(p.high, q.high) && samePhase(p.low, q.low)

/** Whether keeping to the first cycle changes anything, and a rule for it is there or has room. */
export function canKeepFirstCycle(profile: Profile): boolean {
  const { cycles, after } = profile.chart
  const rows = after.kind === 'stay' ? [...cycles, after.reply] : cycles
  const changes = rows.some((row) => !sameCycle(row, cycles[0] as Cycle))
  return changes && (firstCycleHold(profile) !== null || profile.powerOn.length < LIMITS.powerOnRules)
}
