import type { Title } from '../../title/schema.ts'
import type { Workbench } from '../workbench.svelte.ts'
import { t } from './capture-texts.ts'

/** Puts a title that a capture gave on the shelf and opens its form. */
export function putOnShelf(workbench: Workbench, title: Title, captureName: string): void {
  const added = workbench.shelf.addTitle(t.step({ title: title.name, file: captureName }), title)
  if (!added.ok) return workbench.notices.warn(added.error)
  workbench.chooseTitle(added.value.id)
  workbench.editingTitleId = added.value.id
  workbench.leaveFirst('titles')
  workbench.notices.say(t.isPut({ title: title.name }))
}
