import type { Control } from '../pad/controls.ts'
import { inputsOf } from '../port/chart.ts'
import type { StepsOfWork } from '../port/steps-of-work.ts'
import { sameProfile } from '../profile/same-profile.ts'
import type { Profile } from '../profile/schema.ts'
import { inputsReadBy } from '../title/inputs-read.ts'
import type { Title } from '../title/schema.ts'
import { metWith } from './fix/grid.ts'
import { searchFixes } from './fix/search.ts'
import type { Found } from './fix/search.ts'
import type { Cost } from './fix/change-words.ts'
import { judge } from './judge.ts'
import { isPressable } from './pressable.ts'
import type { JudgeOptions } from './judgement.ts'
import { isRight } from './judgement.ts'
import type { Judgement } from './judgement.ts'

export type Fix = Found & Cost

export interface FixOutcome {
  /** How the titles read the profile as it is, in their order. */
  readonly now: readonly Judgement[]
  /** What mends all of them, the cheapest first; empty where nothing does, or nothing has to. */
  readonly fixes: readonly Fix[]
  /** Combinations of changes that were tried. */
  readonly tried: number
  readonly standing: FixStanding
}

/**
 * How the titles stand after a search.
 * - `clean`: they read the profile clean as it is
 * - `mended`: every fix makes all of them clean
 * - `best`: the whole grid of `fix/FIX.md` holds nothing that makes all of them clean; the fixes are the best there is
 * - `none`: the whole grid holds no fix
 */
export type FixStanding = 'clean' | 'mended' | 'best' | 'none'

/** How far a search has come, and the best that it would answer if it ended now. */
export interface FixSoFar {
  readonly tried: number
  readonly best: Fix | null
}

/** The same with how the titles read the profile as it is, as far as they were judged. */
export interface FixStep extends FixSoFar {
  readonly now: readonly Judgement[]
}

/** The fewest changes that make all titles read the profile clean, or at least not wrong. */
export function* findingFixes(
  profile: Profile,
  titles: readonly Title[],
  options: JudgeOptions,
): StepsOfWork<FixStep, FixOutcome> {
  const now: Judgement[] = []
  for (const title of titles) {
    now.push(judge(profile, title, options))
    yield { tried: 0, best: null, now }
  }
  if (now.every(({ verdict }) => verdict === 'clean')) return { now, fixes: [], tried: 0, standing: 'clean' }
  // There is nothing to go by yet.
  if (now.some(({ hangsOn }) => hangsOn?.kind === 'not-described'))
    return { now, fixes: [], tried: 0, standing: 'none' }
  const isNoWorse = (fix: Found): boolean =>
    now.some((judgement) => !isRight(judgement)) || fix.judgements.every(({ verdict }) => verdict === 'clean')
  const withCost = (one: Found): Fix => ({ ...one, ...costOf(profile, one, titles) })
  const search = searchFixes(profile, titles, options)
  let shown: { readonly found: Found | null; readonly best: Fix | null } = { found: null, best: null }
  let step = search.next()
  for (; !step.done; step = search.next()) {
    const { tried, best } = step.value
    if (best !== shown.found)
      shown = { found: best, best: best !== null && isNoWorse(best) ? withCost(best) : null }
    yield { tried, best: shown.best, now }
  }
  const { found, tried, isWhole } = step.value
  const fixes = found.filter(isNoWorse).map(withCost).sort(cheaper)
  return { now, fixes, tried, standing: isWhole ? (fixes.length > 0 ? 'best' : 'none') : 'mended' }
}

function costOf(profile: Profile, { changes }: Found, titles: readonly Title[]): Cost {
  const after = new Set(inputsOf(changes.reduce(metWith, profile).chart))
  const lost = inputsOf(profile.chart).filter((input) => !after.has(input) && isPressable(profile, input))
  const read = new Set(titles.flatMap(inputsReadBy))
  return { lost, lostHere: lost.filter((input) => read.has(input)) }
}

/** Whether the profile provides for a fix already, so that somebody only has to do it. */
export const isInForce = (fix: Pick<Fix, 'profile'>, profile: Profile): boolean =>
  sameProfile(fix.profile, profile)

/** The controls that a fix wants held at every power-on; `null` where the profile does it all. */
export const heldAtPowerOn = ({ changes }: Pick<Fix, 'changes'>): readonly Control[] | null =>
  changes.find((change) => change.kind === 'first-cycle')?.held ?? null

/** Nothing lost in these titles first, then what asks nobody to hold anything, then nothing lost at all, then fewer changes. */
function cheaper(p: Fix, q: Fix): number {
  const order = ({ lostHere, lost, changes }: Fix) => [
    lostHere.length,
    changes.filter(({ kind }) => kind === 'first-cycle').length,
    changes.filter(({ kind }) => kind === 'cell').length,
    lost.length,
    changes.length,
  ]
  const [ours, theirs] = [order(p), order(q)]
  const k = ours.findIndex((value, at) => value !== theirs[at])
  return k === -1 ? 0 : (ours[k] ?? 0) - (theirs[k] ?? 0)
}
