import { expect } from 'vitest'
import { ShelfStore } from '../../src/shelf/store.ts'
import { Notices } from '../../src/ui/notices.svelte.ts'
import { keepInStep } from '../../src/ui/shelf-in-step.ts'
import type { LoadDemo } from '../../src/ui/shelf-in-step.ts'
import { ShelfState } from '../../src/ui/shelf-state.svelte.ts'
import { SLOW_MS } from './faulty-database.ts'

/** A tab of the app without its screen: the store, and the state that the screen shows. */
export interface Tab {
  readonly store: ShelfStore
  readonly shelf: ShelfState
  readonly notices: Notices
}

/** @param withinMs how long the store may take before the tab begins without it */
export async function newTab(loadDemo: LoadDemo, withinMs = SLOW_MS / 2): Promise<Tab> {
  const store = new ShelfStore({ retryAfterMs: () => 1, slowAfterMs: 5 })
  const first = await store.load(withinMs)
  const shelf = new ShelfState(store, first)
  const notices = new Notices()
  keepInStep(store, shelf, notices, first, loadDemo)
  return { store, shelf, notices }
}

export const pause = (ms = 0) => new Promise((resolve) => setTimeout(resolve, ms))

/** Until every tab says that all is kept. */
export async function untilKept(tabs: readonly Tab[]): Promise<void> {
  for (let k = 0; k < 2_000; k++) {
    if (tabs.every(({ shelf }) => shelf.saving.kind === 'saved')) return
    await pause(1)
  }
  expect(tabs.map(({ shelf }) => shelf.saving)).toEqual(tabs.map(() => ({ kind: 'saved' })))
}
