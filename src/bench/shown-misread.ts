import type { Profile } from '../profile/schema.ts'
import type { NodeSample } from '../title/schedule.ts'
import type { Title } from '../title/schema.ts'
import { boxOf } from './box.ts'
import { explored } from './explored.ts'
import type { Counterexample, CabledAdapter } from './judgement.ts'
import { inShownFrames, terrainOf } from './shown-frames.ts'
import { inOrder, simplest } from './weigh.ts'
import { weighTitle } from './weigh-title.ts'
import type { IsMeant, WeighedTitle } from './weigh-title.ts'
import { WorkBudget } from './work-budget.ts'
import { witnessOf } from './witness.ts'
import type { Witness } from './witness.ts'

/** A misread with one timing in which it happens. */
export interface ShownMisread {
  readonly example: Counterexample
  readonly witness: Witness
  /** The sample that goes wrong, in the last read of the witness. */
  readonly sample: NodeSample
}

/**
 * The smallest counterexample with a timing that shows it; `null` where there is none, where no timing is to blame, and where reads can go in so
 * many ways that none of them was kept.
 */
export function shownMisread(profile: Profile, title: Title, adapter: CabledAdapter): ShownMisread | null {
  const box = boxOf(profile, title, adapter)
  const budget = new WorkBudget()
  return misreadIn(weighTitle(profile, title, box, explored(title, profile.chart, box, budget), budget))
}

/** The same of a title that was weighed. @param isMeant the samples that are looked at; all, where it is left out */
export function misreadIn(all: WeighedTitle, isMeant?: IsMeant): ShownMisread | null {
  const { weighed, stays } = inShownFrames(all, isMeant ? all.within(isMeant) : all)
  const shown = inOrder(stays ?? weighed)
  const example = simplest(shown.map((one) => one.example))
  const sample = shown.find((one) => one.example === example)?.sample
  if (example === null || !sample?.isExact) return null
  return { example, sample: sample.sample, witness: witnessOf(terrainOf(all), sample) }
}
