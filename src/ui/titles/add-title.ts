import type { Workbench } from '../workbench.svelte.ts'
import { NEW_TITLE } from './title-presets.ts'

/** Puts a title with usual figures on the shelf and opens its form. */
export function addTitle(bench: Workbench): void {
  const names = new Set(bench.shelf.titles.map(({ document }) => document.name))
  let name = NEW_TITLE.name
  for (let k = 2; names.has(name); k++) name = `${NEW_TITLE.name} ${k}`
  const added = bench.shelf.addTitle('a title of mine', { ...NEW_TITLE, name })
  if (!added.ok) return bench.notices.warn(added.error)
  bench.chooseTitle(added.value.id)
  bench.editingTitleId = added.value.id
  bench.route.go('titles')
}
