import { describe, expect, it } from 'vitest'
import { STANDARD_LAYOUT } from '../../src/pad/layout/built-in.ts'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { EMPTY_DESK, withDeskChange } from '../../src/shelf/desk.ts'
import type { Desk, DeskChange } from '../../src/shelf/desk.ts'
import type { Entry, EntryKey, ProfileEntry } from '../../src/shelf/entry.ts'
import type { ShelfStore, Write } from '../../src/shelf/store.ts'
import { checkTitle } from '../../src/shelf/files.ts'
import type { Title } from '../../src/title/schema.ts'
import { ShelfState } from '../../src/ui/shelf-state.svelte.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'

const profile = (id: string, name: string, origin: Entry['origin'] = 'own'): ProfileEntry => ({
  kind: 'profile',
  id,
  revision: 1,
  place: 0,
  origin,
  document: { ...BUILT_IN_PROFILES['six-button'], name },
})

/** A shelf over a store that only remembers what it was told; the real one has tests of its own. */
function shelfOf(kept: readonly Entry[]) {
  const stored = new Map<EntryKey, Entry | null>()
  let desk: Desk = EMPTY_DESK
  const store = {
    write(writes: readonly Write[], next?: DeskChange) {
      for (const { key, entry } of writes) stored.set(key, entry)
      desk = withDeskChange(desk, next ?? {}) as Desk
    },
  } as ShelfStore
  const shelf = new ShelfState(store, {
    kind: 'read',
    loaded: { entries: kept, desk: EMPTY_DESK, unreadable: [], older: new Map() },
  })
  return { shelf, stored, desk: () => desk }
}

const rename = (shelf: ShelfState, name: string, group: string | null = null) =>
  shelf.edit('the name', (now) => ({ ...now, name }), group)

describe('the open profile', () => {
  it('is written with each edit, under a number that never goes back', () => {
    const { shelf, stored } = shelfOf([profile('a', 'First', 'demo')])
    rename(shelf, 'Second')
    expect(stored.get('profile:a')).toMatchObject({
      revision: 2,
      origin: 'own',
      document: { name: 'Second' },
    })
    expect(shelf.undo()).toBe('the name')
    expect(stored.get('profile:a')).toMatchObject({ revision: 3, document: { name: 'First' } })
    shelf.redo()
    expect(shelf.open).toMatchObject({ revision: 4, document: { name: 'Second' } })
    expect(shelf.undo() && shelf.undo()).toBeNull()
  })

  it('stays as it was when an edit is refused', () => {
    const { shelf, stored } = shelfOf([profile('a', 'First')])
    const refused = rename(shelf, ' ')
    expect(refused).toMatchObject({ ok: false, error: { place: 'name' } })
    expect(shelf.open).toEqual(profile('a', 'First'))
    expect([stored.size, shelf.undoLabel]).toEqual([0, null])
  })

  it('takes typing as one step and one revision, until it is flashed', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    for (const name of ['F', 'Fi', 'Fir']) rename(shelf, name, 'name')
    expect(shelf.open.revision).toBe(2)
    shelf.seal()
    rename(shelf, 'Firs', 'name')
    expect(shelf.open.revision).toBe(3)
    shelf.undo()
    expect(shelf.open.document.name).toBe('Fir')
    shelf.undo()
    expect(shelf.open.document.name).toBe('First')
  })

  it('is no step when nothing changes', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    expect(rename(shelf, 'First').ok).toBe(true)
    expect(shelf.undoLabel).toBeNull()
  })
})

describe('the shelf', () => {
  it('opens what is added, and goes back to what was open with undo', () => {
    const { shelf, stored, desk } = shelfOf([profile('a', 'First')])
    shelf.openProfile('a')
    const added = shelf.addProfile('import', BUILT_IN_PROFILES['three-button'])
    if (!added.ok) throw new Error(added.error)
    expect(shelf.open.id).toBe(added.value.id)
    shelf.undo()
    expect(shelf.open.id).toBe('a')
    expect(stored.get(`profile:${added.value.id}`)).toBeNull()
    shelf.redo()
    expect(desk().openId).toBe(added.value.id)
  })

  it('is never without a profile', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    shelf.remove('removal', [shelf.open])
    expect(shelf.profiles).toHaveLength(1)
    expect(shelf.open.document.name).toBe('Six buttons')
    shelf.undo()
    expect(shelf.profiles.map(({ document }) => document.name)).toEqual(['First'])
  })

  it('edits titles and brings removed ones back to their place', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    for (const name of ['Gull', 'Tern']) shelf.addTitle('a title', newTitle(name))
    const [gull] = shelf.titles
    if (!gull) throw new Error('a title is missing')
    expect(shelf.editTitle(gull.id, 'edit', (now) => ({ ...now, clockPpm: -1 })).ok).toBe(false)
    expect(shelf.editTitle(gull.id, 'edit', (now) => ({ ...now, name: 'Herring Gull' })).ok).toBe(true)
    shelf.remove('removal', [...shelf.titles].slice(0, 1))
    shelf.undo()
    expect(shelf.titles.map(({ document }) => document.name)).toEqual(['Herring Gull', 'Tern'])
    // A file has its times in ns, a field in µs: the edit of a title says what is wrong with it as a field does.
    const late = (now: Title): unknown => ({ ...now, rise: { minNs: 0, maxNs: 2_000_000 } })
    expect(shelf.editTitle(gull.id, 'edit', late)).toMatchObject({
      error: {
        place: 'rise.maxNs',
        message: 'expected a time from 0 µs to 1000 µs, in steps of 0.001 µs, found 2000 µs',
      },
    })
    expect(checkTitle(late(gull.document))).toMatchObject({
      error: { message: 'expected a whole number of ns from 0 to 1000000, found 2000000' },
    })
    expect(shelf.editTitle('gone', 'edit', (now) => now)).toMatchObject({ ok: false })
  })

  it('lays the demo out beside what is there', () => {
    const { shelf } = shelfOf([profile('demo-x', 'Mine by now')])
    shelf.layOut('demo', [profile('demo-x', 'X', 'demo'), profile('demo-y', 'Y', 'demo')])
    expect(shelf.profiles.map(({ document }) => document.name)).toEqual(['Mine by now', 'Y'])
    expect(shelf.hasDemo).toBe(true)
  })

  it('clears all of the demo away, its pads too, and undo brings it back', () => {
    const { shelf } = shelfOf([profile('own', 'Own')])
    const card = { revision: 1, place: 0, origin: 'demo' } as const
    shelf.layOut('demo', [
      profile('demo-x', 'X', 'demo'),
      { kind: 'layout', id: 'demo-pad', document: STANDARD_LAYOUT, ...card },
    ])
    shelf.clearDemo('clearing the demo')
    expect([shelf.hasDemo, shelf.layouts.length, shelf.profiles.length]).toEqual([false, 0, 1])
    shelf.undo()
    expect([shelf.hasDemo, shelf.layouts.length, shelf.profiles.length]).toEqual([true, 1, 2])
  })
})

describe('another tab', () => {
  const theirs = (name: string, revision: number): ProfileEntry => ({ ...profile('a', name), revision })

  it('has the last word, and undo gives this tab’s version back', () => {
    const { shelf, stored } = shelfOf([profile('a', 'First')])
    rename(shelf, 'Mine')
    expect(shelf.elsewhere([{ key: 'profile:a', entry: theirs('Theirs', 5) }])).toEqual({
      changed: ['Mine'],
      removed: [],
    })
    expect(shelf.open.document.name).toBe('Theirs')
    expect(shelf.undo()).toBe('the other tab’s change')
    expect(stored.get('profile:a')).toMatchObject({ revision: 6, document: { name: 'Mine' } })
    shelf.undo()
    expect(shelf.open.document.name).toBe('First')
  })

  it('is followed without a step where this tab has done nothing', () => {
    const { shelf, stored } = shelfOf([profile('a', 'First'), profile('b', 'Other')])
    shelf.elsewhere([{ key: 'profile:b', entry: { ...profile('b', 'Changed'), revision: 2 } }])
    expect(shelf.undoLabel).toBeNull()
    expect(stored.size).toBe(0)
    expect(shelf.profiles.map(({ document }) => document.name)).toEqual(['First', 'Changed'])
    expect(shelf.elsewhere([{ key: 'profile:b', entry: null }]).removed).toEqual(['Changed'])
    expect(shelf.profiles).toHaveLength(1)
  })
})

describe('several files at once', () => {
  it('are one step for undo, in their order, and the last profile among them is open', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    const added = shelf.addAll('import of 4 files', [
      { kind: 'profile', document: { ...BUILT_IN_PROFILES['three-button'], name: 'Gull' } },
      { kind: 'title', document: newTitle('Tern') },
      { kind: 'profile', document: { ...BUILT_IN_PROFILES['three-button'], name: 'Auk' } },
      { kind: 'title', document: newTitle('Wren') },
    ])
    expect(added).toHaveLength(4)
    expect(shelf.profiles.map(({ document }) => document.name)).toEqual(['First', 'Gull', 'Auk'])
    expect(shelf.titles.map(({ document }) => document.name)).toEqual(['Tern', 'Wren'])
    expect(shelf.open.document.name).toBe('Auk')
    expect(shelf.undo()).toBe('import of 4 files')
    expect([shelf.profiles.length, shelf.titles.length, shelf.open.document.name]).toEqual([1, 0, 'First'])
    shelf.redo()
    expect(shelf.open.document.name).toBe('Auk')
  })

  it('leave no step where there was nothing to take', () => {
    const { shelf } = shelfOf([profile('a', 'First')])
    expect(shelf.addAll('import of nothing', [])).toEqual([])
    expect(shelf.undoLabel).toBeNull()
  })
})
