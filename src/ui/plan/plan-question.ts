import type { PlanOptions, ShelfPlan } from '../../bench/plan.ts'
import type { Profile } from '../../profile/schema.ts'
import type { Title } from '../../title/schema.ts'
import type { ErrandWorker } from './errand.svelte.ts'

/** What the planning worker is asked; it answers with a `ShelfPlan`. */
export interface PlanQuestion {
  readonly profiles: readonly Profile[]
  readonly titles: readonly Title[]
  readonly options: PlanOptions
}

export const startPlanWorker = (): ErrandWorker<PlanQuestion, ShelfPlan> =>
  new Worker(new URL('./plan.worker.ts', import.meta.url), { type: 'module' })
