import 'fake-indexeddb/auto'
import { IDBFactory } from 'fake-indexeddb'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { Connection } from '../../src/shelf/connection.ts'
import { EMPTY_DESK } from '../../src/shelf/desk.ts'
import { keyOf } from '../../src/shelf/entry.ts'
import type { Entry, ProfileEntry } from '../../src/shelf/entry.ts'
import { notReadSentence, notSavedSentence } from '../../src/shelf/store-words.ts'
import { ShelfStore } from '../../src/shelf/store.ts'
import type { Saving, Loaded, Outcome, StoreOptions, Unreadable, Write } from '../../src/shelf/store.ts'

const profile = (id: string, name: string, revision = 1): ProfileEntry => ({
  kind: 'profile',
  id,
  revision,
  place: 0,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['six-button'], name },
})
const put = (entry: Entry): Write => ({ key: keyOf(entry), entry })

interface Tab {
  readonly store: ShelfStore
  readonly saving: Saving[]
  readonly heard: Write[]
  readonly outcomes: Outcome[]
  readonly late: Loaded[]
  unreadable: readonly Unreadable[]
}

let tabs: Tab[] = []

function openTab(options: StoreOptions = { retryAfterMs: () => 1 }): Tab {
  const store = new ShelfStore(options)
  const tab: Tab = { store, saving: [], heard: [], outcomes: [], late: [], unreadable: [] }
  store.listen({
    saving: (state) => tab.saving.push(state),
    loaded: (loaded) => tab.late.push(loaded),
    elsewhere: (writes) => tab.heard.push(...writes),
    outcomes: (outcomes) => tab.outcomes.push(...outcomes),
    unreadable: (records) => (tab.unreadable = records),
  })
  tabs.push(tab)
  return tab
}

/** Opens a tab and reads. */
async function readTab(options?: StoreOptions): Promise<Tab & { readonly loaded: Loaded }> {
  const tab = openTab(options)
  const first = await tab.store.load()
  if (first.kind !== 'read') throw new Error('the store was not read')
  return Object.assign(tab, { loaded: first.loaded })
}

/** Until something that comes by itself has come. */
async function until(holds: () => boolean): Promise<void> {
  for (let k = 0; k < 500 && !holds(); k++) await new Promise((resolve) => setTimeout(resolve, 2))
  expect(holds()).toBe(true)
}

/** The records as they are stored. */
const raw = (): Connection => new Connection(() => undefined)
const set = (key: string, record: unknown) => raw().write((records) => records.put(record, key))
const stored = (key: string) => raw().read((records) => records.get(key))
async function clearDatabase(): Promise<void> {
  const keys = [...(await raw().read((records) => records.all())).keys()]
  await raw().write(async (records) => {
    for (const key of keys) await records.delete(key)
  })
}

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory()
})

afterEach(() => {
  vi.restoreAllMocks()
  for (const { store } of tabs) store.close()
  tabs = []
})

describe('the shelf in IndexedDB', () => {
  it('has nothing at first, and is kept', async () => {
    const { loaded, saving } = await readTab()
    expect(loaded).toEqual({ entries: [], desk: EMPTY_DESK, unreadable: [], older: new Map() })
    await until(() => saving.at(-1)?.kind === 'saved')
  })

  it('finds after a reload what was written, and not what was taken off', async () => {
    const { store } = await readTab()
    const [first, second] = [profile('a', 'First'), profile('b', 'Second')]
    store.write([put(first), put(second)], { visited: true })
    store.write([{ key: 'profile:b', entry: null }])
    await store.settled()
    const again = await readTab()
    expect(again.loaded.entries).toEqual([first])
    expect(again.loaded.desk.visited).toBe(true)
  })

  it('says kept only while nothing is on its way', async () => {
    const { store, saving } = await readTab()
    store.write([put(profile('a', 'First'))])
    expect(saving.at(-1)).toEqual({ kind: 'saving' })
    await store.settled()
    expect(saving.at(-1)).toEqual({ kind: 'saved' })
    expect(await stored('profile:a')).toEqual(profile('a', 'First'))
  })

  it('keeps the last of many quick edits', async () => {
    const { store } = await readTab()
    for (let k = 1; k <= 200; k++) store.write([put(profile('a', `Name ${k}`, k))])
    await store.settled()
    expect((await readTab()).loaded.entries).toEqual([profile('a', 'Name 200', 200)])
  })

  it('tells other tabs what was written, and not the one that wrote it', async () => {
    const [one, other] = [await readTab(), await readTab()]
    one.store.write([put(profile('a', 'Seen by both'))])
    await until(() => other.heard.length > 0)
    expect(other.heard).toEqual([put(profile('a', 'Seen by both'))])
    expect(one.heard).toEqual([])
    one.store.write([{ key: 'profile:a', entry: null }])
    await until(() => other.heard.length > 1)
    expect(other.heard.at(-1)).toEqual({ key: 'profile:a', entry: null })
  })

  it('loses neither of two documents that two tabs write at once', async () => {
    const [one, other] = [await readTab(), await readTab()]
    for (let k = 1; k <= 20; k++) {
      one.store.write([put(profile('a', `A ${k}`, k))])
      other.store.write([put(profile('b', `B ${k}`, k))])
      if (k % 5 === 0) await one.store.settled()
    }
    await one.store.settled()
    await other.store.settled()
    const { entries } = (await readTab()).loaded
    expect(entries.map(({ document }) => document.name).sort()).toEqual(['A 20', 'B 20'])
  })

  it('joins what two tabs change of one document, and tells the one that came second', async () => {
    await set('profile:a', profile('a', 'First', 3))
    const [one, other] = [await readTab(), await readTab()]
    const renamed = { ...profile('a', 'Renamed', 4) }
    const noted = profile('a', 'First', 4)
    const withNotes = { ...noted, document: { ...noted.document, notes: 'Noted.' } }
    one.store.write([put(renamed)])
    other.store.write([put(withNotes)])
    await one.store.settled()
    await other.store.settled()
    const now = await stored('profile:a')
    expect(now).toMatchObject({ revision: 5, document: { name: 'Renamed', notes: 'Noted.' } })
    expect([...one.outcomes, ...other.outcomes]).toMatchObject([{ now, conflicts: [] }])
  })

  it('changes of the desk only what was changed, whatever another tab put there', async () => {
    const [one, other] = [await readTab(), await readTab()]
    one.store.write([], { marginNs: 350, adapters: { one: { label: 'left', layoutIds: null } } })
    await one.store.settled()
    other.store.write([], { sheet: 'paper', adapters: { two: { label: 'right', layoutIds: null } } })
    await other.store.settled()
    const { desk } = (await readTab()).loaded
    expect(desk).toMatchObject({ marginNs: 350, sheet: 'paper' })
    expect(Object.keys(desk.adapters).sort()).toEqual(['one', 'two'])
  })

  it('keeps side things apart from the shelf', async () => {
    const { store } = await readTab()
    await store.setSide('banks', { active: 1 })
    expect(await store.side('banks')).toEqual({ active: 1 })
    expect((await readTab()).loaded.entries).toEqual([])
  })
})

describe('a record that cannot be read', () => {
  const future = { ...profile('f', 'Future'), document: { format: 'ninepin-profile', version: 99 } }

  it('is listed and stays, though a tab with an older copy writes under its key', async () => {
    await set('profile:f', profile('f', 'Present', 3))
    const old = await readTab()
    await set('profile:f', future)
    old.store.write([put(profile('f', 'Edited by old code', 4))])
    await old.store.settled()
    expect(await stored('profile:f')).toEqual(future)
    const { loaded } = await readTab()
    expect(loaded.unreadable).toMatchObject([{ key: 'profile:f', record: future }])
    expect(loaded.unreadable[0]?.sentence).toMatch(/^version: .*newer Ninepin/)
    // What was edited stands beside it.
    expect(loaded.entries).toMatchObject([{ revision: 4, document: { name: 'Edited by old code' } }])
    expect(old.outcomes).toMatchObject([{ key: 'profile:f', now: null, fork: { revision: 4 } }])
  })

  it('goes when the user removes it, and not when it has changed since', async () => {
    await set('title:t', 'rubbish')
    const tab = await readTab()
    const [record] = tab.loaded.unreadable
    if (!record) throw new Error('nothing is listed')
    await set('title:t', 'other rubbish')
    expect(await tab.store.removeUnreadable(record)).toBe(false)
    expect(await stored('title:t')).toBe('other rubbish')
    await until(() => tab.unreadable[0]?.record === 'other rubbish')
    expect(await tab.store.removeUnreadable(tab.unreadable[0] ?? record)).toBe(true)
    expect(await stored('title:t')).toBeUndefined()
    expect(tab.unreadable).toEqual([])
  })

  it('is not put back once it is removed, by this tab or another', async () => {
    await set('title:t', 'rubbish')
    await set('desk', 'no desk')
    const [one, other] = [await readTab(), await readTab()]
    for (const record of one.loaded.unreadable) expect(await one.store.removeUnreadable(record)).toBe(true)
    await until(() => other.unreadable.length === 0)
    for (const { store } of [one, other]) {
      // Everything is read again, as after a lost connection.
      store.putRecords([])
      store.write([put(profile('a', 'First'))])
      await store.settled()
    }
    expect(await stored('title:t')).toBeUndefined()
  })

  it('leaves, where it was the desk, one that is not new: no demo is laid out, and what was changed meanwhile is on it', async () => {
    await set('desk', 'no desk')
    const [one, other] = [await readTab(), await readTab()]
    one.store.write([], { marginNs: 350 })
    other.store.write([], { sheet: 'paper' })
    await Promise.all([one.store.settled(), other.store.settled()])
    expect(await stored('desk')).toBe('no desk')
    const [record] = one.loaded.unreadable
    if (!record) throw new Error('nothing is listed')
    expect(await one.store.removeUnreadable(record)).toBe(true)
    await until(() => other.unreadable.length === 0)
    await Promise.all([one.store.settled(), other.store.settled()])
    expect(await stored('desk')).toMatchObject({
      seeded: true,
      visited: true,
      marginNs: 350,
      sheet: 'paper',
    })
    const { loaded } = await readTab()
    expect(loaded.unreadable).toEqual([])
    expect(loaded.desk).toMatchObject({ seeded: true, visited: true, marginNs: 350, sheet: 'paper' })
  })

  it('comes back out of a saved shelf, where nothing stands in its place', async () => {
    await set('profile:g', profile('g', 'Here'))
    const tab = await readTab()
    tab.store.putRecords([
      { key: 'profile:f', record: future },
      { key: 'profile:g', record: 'rubbish' },
      { key: 'desk', record: 'no key of the shelf' },
    ])
    await tab.store.settled()
    expect(await stored('profile:f')).toEqual(future)
    expect(await stored('profile:g')).toEqual(profile('g', 'Here'))
    expect(await stored('desk')).toBeUndefined()
    expect(tab.unreadable).toMatchObject([{ key: 'profile:f' }])
  })
})

describe('storage that is cleared while the page is open', () => {
  it('gets everything back with the next write', async () => {
    await set('title:t', 'rubbish')
    await set('desk', { ...EMPTY_DESK, marginNs: 350 })
    const { store } = await readTab()
    store.write([put(profile('a', 'First')), put(profile('b', 'Second'))])
    await store.setSide('banks', [1])
    await store.settled()
    await clearDatabase()
    store.write([put(profile('a', 'First again', 2))])
    await store.settled()
    const { loaded } = await readTab()
    expect(loaded.entries.map(({ document }) => document.name).sort()).toEqual(['First again', 'Second'])
    expect(loaded.desk.marginNs).toBe(350)
    expect(loaded.unreadable).toMatchObject([{ key: 'title:t', record: 'rubbish' }])
    expect(await stored('side:banks')).toEqual([1])
  })
})

describe('what is put back', () => {
  it('does not replace what another tab has put there since', async () => {
    const [one, other] = [await readTab(), await readTab()]
    one.store.write([], { marginNs: 350 })
    await one.store.settled()
    await clearDatabase()
    other.store.write([], { marginNs: 400, adapters: { two: { label: 'right', layoutIds: null } } })
    await other.store.settled()
    one.store.putRecords([])
    await one.store.settled()
    expect(await stored('desk')).toMatchObject({ marginNs: 400, adapters: { two: { label: 'right' } } })
  })

  it('is no document that another tab took off while this one was reading', async () => {
    const [one, other] = [await readTab(), await readTab()]
    one.store.write([put(profile('a', 'First'))])
    await until(() => other.heard.length > 0)
    one.store.write([{ key: 'profile:a', entry: null }])
    await one.store.settled()
    other.store.putRecords([])
    const channel = new BroadcastChannel('ninepin-shelf')
    channel.postMessage({ wrote: [], removed: ['profile:a'] })
    channel.close()
    await until(() => other.heard.at(-1)?.entry === null)
    await other.store.settled()
    expect(await stored('profile:a')).toBeUndefined()
  })
})

describe('a page that slept', () => {
  it('looks again and hears what it missed', async () => {
    await set('profile:a', profile('a', 'First'))
    const { store, heard } = await readTab()
    await set('profile:a', profile('a', 'Second', 2))
    store.lookAgain()
    await store.settled()
    expect(heard).toEqual([put(profile('a', 'Second', 2))])
  })
})

describe('what another tab names', () => {
  it('and what is not there, though nobody removed it, stays with this tab and is put back', async () => {
    await set('profile:a', profile('a', 'First'))
    const { store, heard } = await readTab()
    await clearDatabase()
    const channel = new BroadcastChannel('ninepin-shelf')
    channel.postMessage({ wrote: ['profile:a'], removed: [] })
    await set('profile:b', profile('b', 'Second'))
    channel.postMessage({ wrote: ['profile:b'], removed: [] })
    channel.close()
    await until(() => heard.length > 0)
    expect(heard).toEqual([put(profile('b', 'Second'))])
    store.putRecords([])
    await store.settled()
    expect(await stored('profile:a')).toEqual(profile('a', 'First'))
  })
})

describe('a write on its way', () => {
  it('is pending though the shelf has not been read', async () => {
    const { store, saving } = openTab({ retryAfterMs: () => 60_000 })
    const getAll = vi.spyOn(IDBObjectStore.prototype, 'getAll').mockImplementation(() => {
      throw new DOMException('', 'UnknownError')
    })
    expect(await store.load(5)).toEqual({ kind: 'unknown', refused: false })
    let release = () => {}
    let isHeldUp = false
    const holds = raw().write(async (records) => {
      let isHeld = true
      release = () => (isHeld = false)
      isHeldUp = true
      while (isHeld) await records.get('nothing')
    })
    await until(() => isHeldUp)
    store.write([put(profile('a', 'First'))])
    await new Promise((resolve) => setTimeout(resolve, 10))
    store.listen({
      saving: (state) => saving.push(state),
      loaded: () => undefined,
      elsewhere: () => undefined,
      outcomes: () => undefined,
      unreadable: () => undefined,
    })
    expect(saving.at(-1)).toMatchObject({ kind: 'unread', pending: true })
    release()
    await holds
    getAll.mockRestore()
  })
})

describe('what no store takes', () => {
  const poison = () => 0

  it.each([
    ['a side thing', (store: ShelfStore) => void store.setSide('banks', poison)],
    ['a record', (store: ShelfStore) => store.putRecords([{ key: 'title:x', record: poison }])],
    ['a desk', (store: ShelfStore) => store.write([], { openId: poison as never })],
  ])('keeps no other from arriving: %s', async (_, poisons) => {
    const { store, saving } = await readTab()
    poisons(store)
    store.write([put(profile('a', 'First')), put(profile('b', 'Second'))])
    for (let k = 0; k < 500 && !(await stored('profile:b')); k++) {
      await new Promise((resolve) => setTimeout(resolve, 2))
    }
    expect(await stored('profile:a')).toEqual(profile('a', 'First'))
    expect(await stored('profile:b')).toEqual(profile('b', 'Second'))
    expect(saving.at(-1)?.kind).not.toBe('saved')
  })
})

describe('a document with an odd id', () => {
  it.each(['__proto__', 'constructor', '\nline', ':', '😀', '\ud800'])('is found again: %j', async (id) => {
    const { store } = await readTab()
    store.write([put(profile(id, 'Odd'))])
    await store.settled()
    expect((await readTab()).loaded.entries).toEqual([profile(id, 'Odd')])
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

  it('is told from an empty one, at once', async () => {
    refuse('SecurityError')
    const { store, saving } = openTab({ retryAfterMs: () => 60_000 })
    expect(await store.load()).toEqual({ kind: 'unknown', refused: true })
    store.write([put(profile('a', 'Lost on closing'))])
    await store.settled()
    expect(saving.at(-1)).toEqual({
      kind: 'unread',
      pending: true,
      sentence: notReadSentence(new DOMException('', 'SecurityError')),
    })
    await store.setSide('banks', 1)
    expect(await store.side('banks')).toBeUndefined()
  })

  it('does not wait for one that never answers', async () => {
    const factory = new IDBFactory()
    factory.open = () => ({}) as never
    globalThis.indexedDB = factory
    const { store, saving } = openTab()
    expect(await store.load(20)).toEqual({ kind: 'unknown', refused: false })
    expect(saving.at(-1)?.kind).toBe('unread')
  })

  it('reads by itself what could not be read at first, and gives it late', async () => {
    await set('profile:a', profile('a', 'There all the time', 3))
    const there = globalThis.indexedDB
    refuse('UnknownError')
    const { store, late, saving } = openTab()
    const first = store.load(10)
    expect(await first).toEqual({ kind: 'unknown', refused: false })
    store.write([put(profile('b', 'Made meanwhile'))])
    globalThis.indexedDB = there
    await until(() => saving.at(-1)?.kind === 'saved')
    expect(late.map(({ entries }) => entries)).toEqual([[profile('a', 'There all the time', 3)]])
    const { entries } = (await readTab()).loaded
    expect(entries.map(({ document }) => document.name)).toEqual(['There all the time', 'Made meanwhile'])
  })

  it('writes by itself what had failed, and one that no store takes keeps no other back', async () => {
    const { store, saving } = await readTab()
    const poison = { ...profile('a', 'Poison'), document: () => 0 } as unknown as Entry
    store.write([put(poison), put(profile('b', 'Second')), put(profile('c', 'Third'))])
    await until(() => saving.some(({ kind }) => kind === 'not-saved'))
    for (let k = 0; k < 500 && !(await stored('profile:c')); k++) {
      await new Promise((resolve) => setTimeout(resolve, 2))
    }
    expect([await stored('profile:b'), await stored('profile:c')]).toMatchObject([
      { document: { name: 'Second' } },
      { document: { name: 'Third' } },
    ])
    expect(saving.at(-1)?.kind).not.toBe('saved')
  })

  it('names a full disk as such', () => {
    // Source: Indexed Database API 3.0, "Exceptions": QuotaExceededError when there is no space left.
    expect(notSavedSentence(new DOMException('', 'QuotaExceededError'))).toContain('no room left')
    expect(notReadSentence(new DOMException('', 'SecurityError'))).toContain('private window')
  })
})
