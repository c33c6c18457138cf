import type { StepsOfWork } from '../port/steps-of-work.ts'
import { BANKS } from '../profile/schema.ts'
import type { Profile } from '../profile/schema.ts'
import type { Title } from '../title/schema.ts'
import { judge } from './judge.ts'
import type { JudgeOptions } from './judgement.ts'
import type { Judgement } from './judgement.ts'
import { canKeepFirstCycle, keptToFirstCycle } from './plan/first-cycle.ts'
import { layOut } from './plan/lay-out.ts'
import type { LaidOut } from './plan/lay-out.ts'
import { bestFit, compareFits, isServed, planBanks } from './plan/plan-banks.ts'
import type { Fit } from './plan/plan-banks.ts'

export interface ShelfPlan {
  readonly banks: readonly PlannedBank[]
  readonly unserved: readonly Unserved[]
}

export interface PlannedBank extends LaidOut {
  /** Which of the candidates it is. */
  readonly candidate: number
  /** The titles that this bank serves best, each listed in one bank only. */
  readonly titles: readonly ServedTitle[]
}

export interface ServedTitle extends CandidateFit {
  /** Which of the titles it is. */
  readonly title: number
}

export interface Unserved {
  readonly title: number
  /** Candidates that serve it and found no bank. */
  readonly servedBy: readonly number[]
  /** The candidate that comes closest, and why it misreads; `null` where some serve it. */
  readonly closest: { readonly candidate: number; readonly reason: string } | null
}

/** A profile in front of a title, the better of two: as it is, or kept to its first cycle at power-on. */
interface CandidateFit extends Fit {
  readonly firstCycle: boolean
}

export interface PlanOptions extends JudgeOptions {
  /** Banks to fill, 1 to 4. */
  readonly banks: number
}

export interface PlanQuestion {
  /** The candidates. */
  readonly profiles: readonly Profile[]
  readonly titles: readonly Title[]
  readonly options: PlanOptions
}

/** How far it is: of the profiles in front of the titles this part is judged, from 0 to 1; then profiles are chosen. */
export interface PlanProgress {
  readonly kind: 'judging' | 'choosing'
  readonly part: number
}

/**
 * Puts a shelf of titles into the banks of an adapter: as many titles as can be, with as few profiles as can be. A title is
 * served where it reads clean or tight.
 *
 * A profile counts once, whether a title takes it as it is or kept to its first cycle: that takes a hold at power-on and
 * no bank.
 */
export function* answerPlan({
  profiles: candidates,
  titles,
  options,
}: PlanQuestion): StepsOfWork<PlanProgress, ShelfPlan> {
  const judged: JudgedFit[][] = []
  const pairs = candidates.length * titles.length
  for (const profile of candidates) {
    const row: JudgedFit[] = []
    judged.push(row)
    for (const title of titles) {
      row.push(judgeBoth(profile, title, options))
      yield { kind: 'judging', part: ((judged.length - 1) * titles.length + row.length) / pairs }
    }
  }
  yield { kind: 'choosing', part: 1 }
  const { chosen } = planBanks(judged, Math.min(options.banks, BANKS.length))
  const served = chosen.map((candidate) => ({ candidate, titles: [] as ServedTitle[] }))
  const unserved: Unserved[] = []
  titles.forEach((_, title) => {
    const fits = served.map(({ candidate }) => judged[candidate]?.[title] as JudgedFit)
    const fit = bestFit(fits)
    if (fit === null) unserved.push(unservedTitle(judged, title))
    else served[fits.indexOf(fit)]?.titles.push({ title, ...fitOf(fit) })
  })
  const placed = served.map(({ candidate, titles: own }) => ({
    profile: candidates[candidate] as Profile,
    firstCycle: own.some(({ firstCycle }) => firstCycle),
  }))
  const banks = layOut(placed).map((laidOut, at) => ({
    ...laidOut,
    ...(served[at] as (typeof served)[number]),
  }))
  return { banks, unserved }
}

interface JudgedFit extends CandidateFit {
  readonly reason: string
}

const fitOf = ({ verdict, marginNs, firstCycle }: CandidateFit): CandidateFit => ({
  verdict,
  marginNs,
  firstCycle,
})

/**
 * With nothing to hold is better than with something, unless the verdict gains; and where a title sees six buttons and reads
 * them, the first cycle only would take four of them away.
 */
function judgeBoth(profile: Profile, title: Title, options: JudgeOptions): JudgedFit {
  const fit = (judgement: Judgement, firstCycle: boolean): JudgedFit => ({
    ...fitOf({ ...judgement, firstCycle }),
    reason: judgement.reason,
  })
  const plain = judge(profile, title, options)
  const asItIs = fit(plain, false)
  const stays = plain.verdict === 'clean' || (plain.verdict === 'tight' && plain.sixButtons === true)
  if (stays || !canKeepFirstCycle(profile)) return asItIs
  const kept = fit(judge(keptToFirstCycle(profile), title, options), true)
  return kept.verdict !== plain.verdict && compareFits(kept, asItIs) > 0 ? kept : asItIs
}

function unservedTitle(judged: readonly (readonly JudgedFit[])[], title: number): Unserved {
  const column = judged.map((row) => row[title] as JudgedFit)
  const servedBy = column.flatMap((fit, candidate) => (isServed(fit) ? [candidate] : []))
  if (servedBy.length > 0 || column.length === 0) return { title, servedBy, closest: null }
  // All misread: the one that stands the least far inside a wrong reply.
  const leastWrong = Math.max(...column.map(({ marginNs }) => marginNs ?? 0))
  const candidate = column.findIndex(({ marginNs }) => (marginNs ?? 0) === leastWrong)
  return { title, servedBy, closest: { candidate, reason: column[candidate]?.reason ?? '' } }
}
