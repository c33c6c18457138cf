import type { Result } from '../port/result.ts'
import type { Entry } from '../shelf/entry.ts'
import type { FirstReading, ShelfStore, Write } from '../shelf/store.ts'
import { shelfTexts as t } from './app-texts.ts'
import type { Notices } from './notices.svelte.ts'
import type { ShelfState } from './shelf-state.svelte.ts'

/** The profile of the demo that is open at first. */
const DEMO_OPEN = 'demo-evening-set-up'

/** Reads the demo's files. The error is a sentence. */
export type LoadDemo = () => Promise<Result<readonly Entry[], string>>

/**
 * Keeps the shelf on screen in step with the store: readings that come late, what other tabs wrote, what became of this tab's own writes,
 * and the demo, which is laid out once, after a complete reading that says that it never was.
 */
export function keepInStep(
  store: ShelfStore,
  shelf: ShelfState,
  notices: Pick<Notices, 'say' | 'warn'>,
  first: FirstReading,
  loadDemo: LoadDemo,
): void {
  const layOut = async () => {
    if (!shelf.wantsDemo) return
    const demo = await loadDemo()
    if (demo.ok) shelf.seed(demo.value, DEMO_OPEN)
    else notices.warn(demo.error)
  }
  store.listen({
    saving: (state) => (shelf.saving = state),
    loaded: (loaded) => {
      shelf.loaded(loaded)
      void layOut()
    },
    elsewhere: (writes) => tellElsewhere(writes, shelf, notices),
    outcomes: (outcomes) => {
      const { merged, overwrote, copied, stays } = shelf.outcomes(outcomes)
      for (const name of merged) {
        notices.say(t.merged({ name }))
      }
      for (const name of overwrote) {
        notices.say(t.overwrote({ name }))
      }
      for (const name of copied) {
        notices.warn(t.copied({ name }))
      }
      for (const name of stays) {
        notices.say(t.stays({ name }))
      }
    },
    unreadable: (records) => (shelf.unreadable = records),
  })
  if (first.kind === 'read') void layOut()
  else if (first.refused) {
    void loadDemo().then((demo) => {
      if (demo.ok) shelf.standIn(demo.value, DEMO_OPEN)
    })
  }
}

function tellElsewhere(writes: readonly Write[], shelf: ShelfState, notices: Pick<Notices, 'say'>): void {
  const { name } = shelf.open.document
  const { changed, removed } = shelf.elsewhere(writes)
  if (changed.includes(name)) {
    notices.say(t.changedElsewhere({ name }))
  } else if (removed.includes(name)) {
    notices.say(t.removedElsewhere({ name }))
  }
}
