import type { Workbench } from '../workbench.svelte.ts'
import { lasting } from './lasting.svelte.ts'
import { Sitting } from './sitting.svelte.ts'

/** By title. Answers outlast the sheet that takes them. */
const SITTINGS = new Map<string, Sitting>()

/** The questions about a title, begun with the first call; `null` when the shelf has no title of this id. */
export function sittingOf(workbench: Workbench, titleId: string): Sitting | null {
  const known = SITTINGS.get(titleId)
  const title = workbench.shelf.titles.find(({ id }) => id === titleId)
  if (known || !title) return known ?? null
  const begun = lasting(() => new Sitting(workbench, title))
  SITTINGS.set(titleId, begun)
  return begun
}
