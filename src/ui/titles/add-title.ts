import type { Workbench } from '../workbench.svelte.ts'
import { t } from './new-title-texts.ts'
import { newTitle } from './new-title.ts'

/** Puts a title with usual figures on the shelf and opens its form. */
export function addTitle(workbench: Workbench): void {
  const names = new Set(workbench.shelf.titles.map(({ document }) => document.name))
  let name: string = t.name
  for (let k = 2; names.has(name); k++) name = t.numbered({ n: k })
  const added = workbench.shelf.addTitle(t.step, newTitle(name))
  if (!added.ok) return workbench.notices.warn(added.error)
  workbench.chooseTitle(added.value.id)
  workbench.editingTitleId = added.value.id
  workbench.route.go('titles')
}
