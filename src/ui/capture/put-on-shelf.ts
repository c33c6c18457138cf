import type { Title } from '../../title/schema.ts'
import type { Workbench } from '../workbench.svelte.ts'

/** Puts a title that a capture gave on the shelf and opens its form. */
export function putOnShelf(bench: Workbench, title: Title, captureName: string): void {
  const added = bench.shelf.addTitle(`${title.name} from ${captureName}`, title)
  if (!added.ok) return bench.notices.warn(added.error)
  bench.chooseTitle(added.value.id)
  bench.editingTitleId = added.value.id
  bench.leaveFirst('titles')
  bench.notices.say(`${title.name} is among the titles.`)
}
