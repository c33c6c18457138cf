import 'fake-indexeddb/auto'
import { IDBFactory } from 'fake-indexeddb'
import { createStore, set } from 'idb-keyval'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { EMPTY_DESK } from '../../src/shelf/desk.ts'
import { keyOf } from '../../src/shelf/entry.ts'
import type { Entry, ProfileEntry } from '../../src/shelf/entry.ts'
import { ShelfStore, keepingSentence } from '../../src/shelf/store.ts'
import type { Keeping, Write } from '../../src/shelf/store.ts'

const profile = (id: string, name: string, revision = 1): ProfileEntry => ({
  kind: 'profile',
  id,
  revision,
  place: 0,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['six-button'], name },
})
const put = (kept: Entry): Write => ({ key: keyOf(kept), kept })

interface Tab {
  readonly store: ShelfStore
  readonly keeping: Keeping[]
  readonly heard: Write[]
}

let tabs: Tab[] = []

function openTab(): Tab {
  const tab: Tab = { store: new ShelfStore(), keeping: [], heard: [] }
  tab.store.listen({
    keeping: (state) => tab.keeping.push(state),
    elsewhere: (writes) => tab.heard.push(...writes),
  })
  tabs.push(tab)
  return tab
}

/** Until something that travels between tabs has arrived. */
async function until(holds: () => boolean): Promise<void> {
  for (let k = 0; k < 500 && !holds(); k++) await new Promise((resolve) => setTimeout(resolve, 2))
  expect(holds()).toBe(true)
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory()
})

afterEach(() => {
  for (const { store } of tabs) store.close()
  tabs = []
})

describe('the shelf in IndexedDB', () => {
  it('has nothing at first, and is kept', async () => {
    const { store, keeping } = openTab()
    expect(await store.load()).toEqual({ kept: [], desk: EMPTY_DESK, damaged: [] })
    expect(keeping.at(-1)).toEqual({ kind: 'kept' })
  })

  it('finds after a reload what was written, and not what was taken off', async () => {
    const { store } = openTab()
    const [first, second] = [profile('a', 'First'), profile('b', 'Second')]
    store.write([put(first), put(second)], { ...EMPTY_DESK, visited: true })
    store.write([{ key: 'profile:b', kept: null }])
    await store.settled()
    const again = await openTab().store.load()
    expect(again.kept).toEqual([first])
    expect(again.desk.visited).toBe(true)
  })

  it('keeps the last of many quick edits', async () => {
    const { store } = openTab()
    for (let k = 1; k <= 200; k++) store.write([put(profile('a', `Name ${k}`, k))])
    await store.settled()
    expect((await openTab().store.load()).kept).toEqual([profile('a', 'Name 200', 200)])
  })

  it('leaves a record that it cannot read where it is, and says so', async () => {
    const raw = createStore('ninepin', 'shelf')
    const future = { ...profile('f', 'Future'), document: { format: 'ninepin-profile', version: 99 } }
    await set('profile:f', future, raw)
    const { store } = openTab()
    const loaded = await store.load()
    expect(loaded.kept).toEqual([])
    expect(loaded.damaged).toHaveLength(1)
    expect(loaded.damaged[0]).toMatch(/^profile:f: version: .*newer Ninepin/)
    store.write([put(profile('a', 'Other'))])
    await store.settled()
    expect((await openTab().store.load()).damaged).toHaveLength(1)
  })

  it('tells other tabs what was written, and not the one that wrote it', async () => {
    const [one, other] = [openTab(), openTab()]
    one.store.write([put(profile('a', 'Seen by both'))])
    await until(() => other.heard.length > 0)
    expect(other.heard).toEqual([put(profile('a', 'Seen by both'))])
    expect(one.heard).toEqual([])
    one.store.write([{ key: 'profile:a', kept: null }])
    await until(() => other.heard.length > 1)
    expect(other.heard.at(-1)).toEqual({ key: 'profile:a', kept: null })
  })

  it('loses neither of two documents that two tabs write at once', async () => {
    const [one, other] = [openTab(), openTab()]
    for (let k = 1; k <= 20; k++) {
      one.store.write([put(profile('a', `A ${k}`, k))])
      other.store.write([put(profile('b', `B ${k}`, k))])
      if (k % 5 === 0) await one.store.settled()
    }
    await one.store.settled()
    await other.store.settled()
    const { kept } = await openTab().store.load()
    expect(kept.map(({ document }) => document.name).sort()).toEqual(['A 20', 'B 20'])
  })

  it('keeps side things apart from the shelf', async () => {
    const { store } = openTab()
    await store.setSide('banks', { active: 1 })
    expect(await store.side('banks')).toEqual({ active: 1 })
    expect((await store.load()).kept).toEqual([])
  })
})

describe('a browser that keeps nothing', () => {
  const refuse = (name: string) => {
    const factory = new IDBFactory()
    factory.open = () => {
      throw new DOMException('refused', name)
    }
    globalThis.indexedDB = factory
  }

  it('opens with an empty shelf, says so, and goes on', async () => {
    refuse('SecurityError')
    const { store, keeping } = openTab()
    expect((await store.load()).kept).toEqual([])
    expect(keeping.at(-1)).toEqual({ kind: 'not-kept', sentence: keepingSentence(null) })
    store.write([put(profile('a', 'Lost on closing'))])
    await store.settled()
    expect(keeping.at(-1)?.kind).toBe('not-kept')
    await store.setSide('banks', 1)
    expect(await store.side('banks')).toBeUndefined()
  })

  it('does not wait for one that never answers', async () => {
    const factory = new IDBFactory()
    factory.open = () => ({ addEventListener: () => undefined }) as never
    globalThis.indexedDB = factory
    const { store, keeping } = openTab()
    expect((await store.load(20)).kept).toEqual([])
    expect(keeping.at(-1)?.kind).toBe('not-kept')
  })

  it('writes what had failed with the next edit', async () => {
    refuse('UnknownError')
    const { store, keeping } = openTab()
    store.write([put(profile('a', 'First try'))])
    await store.settled()
    expect(keeping.at(-1)?.kind).toBe('not-kept')
    globalThis.indexedDB = new IDBFactory()
    store.write([put(profile('b', 'Second'))])
    await store.settled()
    expect(keeping.at(-1)).toEqual({ kind: 'kept' })
    const { kept } = await openTab().store.load()
    expect(kept.map(({ document }) => document.name).sort()).toEqual(['First try', 'Second'])
  })

  it('names a full disk as such', () => {
    // Source: Indexed Database API 3.0, "Exceptions": QuotaExceededError when there is no space left.
    expect(keepingSentence(new DOMException('', 'QuotaExceededError'))).toContain('no room left')
    expect(keepingSentence(new DOMException('', 'SecurityError'))).toContain('private window')
  })
})
