import type { StepsOfWork } from '../port/steps-of-work.ts'
import type { Profile } from '../profile/schema.ts'
import { mostCyclesOpen, usingCycles } from '../title/cycles-used.ts'
import type { Title } from '../title/schema.ts'
import { judge } from './judge.ts'
import type { Judgement, JudgeOptions } from './judgement.ts'

export interface CyclesQuestion {
  readonly profile: Profile
  readonly title: Title
  readonly options: JudgeOptions
}

export interface CyclesProgress {
  readonly kind: 'judged'
}

/** What a title is if it uses its first cycle, its first two, and so on; empty where that is not left open. */
export type AlongCycles = readonly Judgement[]

/** @yields before each judgement */
export function* findAlongCycles({
  profile,
  title,
  options,
}: CyclesQuestion): StepsOfWork<CyclesProgress, AlongCycles> {
  const most = mostCyclesOpen(title) ?? 0
  const judged: Judgement[] = []
  for (let cycles = 1; cycles <= most; cycles++) {
    yield { kind: 'judged' }
    judged.push(judge(profile, usingCycles(title, cycles), options))
  }
  return judged
}
