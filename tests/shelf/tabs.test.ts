import fc from 'fast-check'
import { afterEach, describe, expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { Connection } from '../../src/shelf/connection.ts'
import { EMPTY_DESK } from '../../src/shelf/desk.ts'
import { keyOf, readEntry } from '../../src/shelf/entry.ts'
import type { Entry, EntryKey, ProfileEntry } from '../../src/shelf/entry.ts'
import { sameJson } from '../../src/document/same-json.ts'
import { newTitle } from '../../src/ui/titles/new-title.ts'
import { FAULTS, FaultyDatabase } from './faulty-database.ts'
import type { Fault } from './faulty-database.ts'
import { newTab, pause, untilKept } from './tab.ts'
import type { Tab } from './tab.ts'

/** What two and three tabs do to one shelf at the same time. */

type Field = 'name' | 'notes' | 'idleResetNs'

const profile = (id: string, change: Partial<ProfileEntry> = {}): ProfileEntry => ({
  kind: 'profile',
  id,
  revision: 3,
  place: 0,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['six-button'], name: `Profile ${id}` },
  ...change,
})
const withFields = (entry: ProfileEntry, fields: Partial<ProfileEntry['document']>): ProfileEntry => ({
  ...entry,
  revision: entry.revision + 1,
  document: { ...entry.document, ...fields },
})
const DEMO = [profile('demo-x', { origin: 'demo' }), profile('demo-y', { origin: 'demo' })]
const DESK = { ...EMPTY_DESK, seeded: true, visited: true, openId: 'a' }
const A = profile('a')

let db: FaultyDatabase
/** A sound store is waited for, however busy the machine is. */
let loadWithinMs: number | undefined
let tabs: Tab[] = []

async function start(
  records: Readonly<Record<string, unknown>>,
  fault: Fault | null = null,
  from = 1,
  times = 1,
): Promise<void> {
  db = new FaultyDatabase(fault, from, times)
  loadWithinMs = fault === null ? 60_000 : undefined
  await db.install({ desk: DESK, ...records })
}

async function open(): Promise<Tab> {
  const tab = await newTab(() => Promise.resolve({ ok: true, value: DEMO }), loadWithinMs)
  tabs.push(tab)
  return tab
}

/** Closes all tabs as if their windows were closed. */
function leave(): void {
  for (const { store } of tabs) store.close()
  tabs = []
  db.remove()
}

const set = ({ shelf }: Tab, field: Field, value: string | number) =>
  shelf.edit(field, (now) => ({ ...now, [field]: value }))

/** Another tab writes of which this one has not heard. */
const unheard = (entry: unknown, key: EntryKey) =>
  new Connection(() => undefined).write((records) => records.put(entry, key))
const stored = (key: string) => db.committed.get(key)
const storedEntries = (): Entry[] =>
  [...db.committed].flatMap(([key, record]) => {
    const read = readEntry(record)
    return key !== 'desk' && read.ok ? [read.value] : []
  })
const sorted = (entries: readonly Entry[]) => [...entries].sort((x, y) => (keyOf(x) < keyOf(y) ? -1 : 1))

/** Until every tab says that all is kept and shows what is stored, and nothing else. */
async function settle(): Promise<void> {
  for (let k = 0; k < 200; k++) {
    await pause(k > 100 ? 5 : 1)
    await untilKept(tabs)
    if (tabs.every(({ shelf }) => sameJson(sorted(shelf.all), sorted(storedEntries())))) return
  }
  const short = (entries: readonly Entry[]) =>
    sorted(entries).map(({ document: { name, ...rest }, ...card }) => ({
      ...card,
      name,
      rest: JSON.stringify(rest).slice(-80),
    }))
  for (const { shelf } of tabs) expect(short(shelf.all)).toEqual(short(storedEntries()))
}

/** Until what was written is in flight, and no further. */
const inFlight = async () => {
  for (let k = 0; k < 8; k++) await Promise.resolve()
}

afterEach(leave)

describe('undo in one tab', () => {
  it('takes back what its step changed and leaves what another tab changed', async () => {
    await start({ 'profile:a': A })
    const [one, other] = [await open(), await open()]
    set(one, 'name', 'Mine')
    await settle()
    set(other, 'notes', 'Theirs')
    await settle()
    expect(one.shelf.undoLabel).toBe('name')
    one.shelf.undo()
    await settle()
    expect(stored('profile:a')).toMatchObject({ document: { name: 'Profile a', notes: 'Theirs' } })
    set(other, 'notes', 'Theirs again')
    await settle()
    expect(one.shelf.redoLabel).toBe('name')
    one.shelf.redo()
    await settle()
    expect(other.shelf.open.document).toMatchObject({ name: 'Mine', notes: 'Theirs again' })
  })

  it('gives back what another tab wrote over it', async () => {
    await start({ 'profile:a': A })
    const [one, other] = [await open(), await open()]
    set(one, 'name', 'Mine')
    await settle()
    set(other, 'name', 'Theirs')
    await settle()
    expect([one.shelf.open.document.name, one.shelf.undoLabel]).toEqual(['Theirs', 'the other tab’s change'])
    one.shelf.undo()
    await settle()
    expect(other.shelf.open.document.name).toBe('Mine')
  })

  it('of a removal leaves a document that another tab’s edit has put back', async () => {
    await start({ 'profile:a': A, 'profile:b': profile('b') })
    const one = await open()
    one.shelf.remove('removal', [A])
    await settle()
    const theirs = withFields(A, { notes: 'Put back with notes' })
    await unheard(theirs, 'profile:a')
    one.shelf.elsewhere([{ key: 'profile:a', entry: theirs }])
    one.shelf.undo()
    await settle()
    expect(stored('profile:a')).toMatchObject({ document: { notes: 'Put back with notes' } })
    expect(one.shelf.profiles.map(({ id }) => id)).toEqual(['a', 'b'])
  })

  it('opens no profile that another tab has taken off', async () => {
    const b = profile('b', { place: 1 })
    await start({ 'profile:a': A, 'profile:b': b, 'profile:c': profile('c', { place: 2 }) })
    const one = await open()
    one.shelf.openProfile('b')
    one.shelf.addTitle('a title', newTitle('Tern'))
    one.shelf.openProfile('c')
    one.shelf.elsewhere([{ key: 'profile:b', entry: null }])
    one.shelf.undo()
    expect(one.shelf.open.id).toBe('c')
  })

  it('is named where this tab’s change of the same field stands over another’s', async () => {
    await start({ 'profile:a': A })
    const one = await open()
    await unheard(withFields(A, { name: 'Theirs', notes: 'Theirs' }), 'profile:a')
    set(one, 'name', 'Mine')
    await settle()
    expect(stored('profile:a')).toMatchObject({ document: { name: 'Mine', notes: 'Theirs' } })
    expect(one.notices.all.map(({ message }) => message)).toEqual([
      expect.stringContaining('Where both changed the same, it has this tab’s change now') as string,
    ])
  })

  it('of an addition brings back with redo what others made of it', async () => {
    await start({ 'profile:a': A })
    const [one, other] = [await open(), await open()]
    const added = one.shelf.addProfile('a profile', { ...BUILT_IN_PROFILES['three-button'], name: 'Auk' })
    if (!added.ok) throw new Error(added.error)
    await settle()
    other.shelf.openProfile(added.value.id)
    set(other, 'notes', 'Notes of the other tab')
    await settle()
    db.mayGo.add(keyOf(added.value))
    one.shelf.undo()
    await settle()
    expect(stored(keyOf(added.value))).toBeUndefined()
    one.shelf.redo()
    await settle()
    expect(stored(keyOf(added.value))).toMatchObject({ document: { notes: 'Notes of the other tab' } })
  })
})

describe('a change that was made while the one before was on its way', () => {
  const theirs = withFields(A, { notes: 'Theirs' })

  it('does not take off what another tab has changed', async () => {
    await start({ 'profile:a': A, 'profile:b': profile('b') })
    const one = await open()
    await unheard(theirs, 'profile:a')
    set(one, 'name', 'Mine')
    await inFlight()
    one.shelf.remove('removal', [one.shelf.open])
    await settle()
    expect(stored('profile:a')).toMatchObject({ document: { name: 'Mine', notes: 'Theirs' } })
    expect(one.shelf.profiles.map(({ id }) => id)).toContain('a')
  })

  it('does not overwrite it when a removal is undone', async () => {
    await start({ 'profile:a': A, 'profile:b': profile('b') })
    const one = await open()
    await unheard(theirs, 'profile:a')
    one.shelf.remove('removal', [one.shelf.open])
    await inFlight()
    one.shelf.undo()
    await settle()
    expect(stored('profile:a')).toMatchObject({ document: { notes: 'Theirs' } })
    expect(one.shelf.open.document.notes).toBe('Theirs')
  })

  it('goes with the copy where the record must stay, and there is one copy', async () => {
    const newer = { ...A, document: { ...A.document, version: 99 } }
    await start({ 'profile:a': A, 'profile:b': profile('b') })
    const one = await open()
    await unheard(newer, 'profile:a')
    set(one, 'name', 'First')
    await inFlight()
    set(one, 'name', 'Second')
    await settle()
    expect(stored('profile:a')).toEqual(newer)
    const copies = one.shelf.profiles.filter(({ id }) => id !== 'b')
    expect(copies.map(({ document }) => document.name)).toEqual(['Second'])
    expect(one.shelf.open.id).toBe(copies[0]?.id)
    expect([...db.committed.keys()].filter((key) => key.startsWith('profile:'))).toHaveLength(3)
    // Undo goes on in the copy, and does not open what stands under the old key.
    one.shelf.undo()
    one.shelf.undo()
    await settle()
    expect(one.shelf.open).toMatchObject({ id: copies[0]?.id, document: { name: 'Profile a' } })
    expect(stored(`profile:${copies[0]?.id}`)).toMatchObject({ document: { name: 'Profile a' } })
  })

  it('never goes over a document that another tab put under the same key', async () => {
    await start({})
    const one = await open()
    const saved = profile('s')
    const other = withFields(saved, { name: 'Of the other tab', notes: 'x' })
    await unheard(other, 'profile:s')
    one.shelf.bringBack('bringing back', [saved])
    await inFlight()
    set(one, 'name', 'Mine')
    await settle()
    expect(stored('profile:s')).toEqual(other)
    expect(one.shelf.profiles.map(({ document }) => document.name).sort()).toEqual([
      'Mine',
      'Of the other tab',
    ])
    // The same, and it was taken off again meanwhile.
    const second = withFields(profile('t'), { name: 'Also of the other tab' })
    await unheard(second, 'profile:t')
    one.shelf.bringBack('bringing back', [profile('t')])
    await inFlight()
    one.shelf.undo()
    await settle()
    expect(stored('profile:t')).toEqual(second)
  })
})

describe('a fork', () => {
  it('of a title leaves the profile open that has the same id', async () => {
    await start({ 'profile:a': A, 'profile:b': profile('b', { place: 1 }) })
    const one = await open()
    one.shelf.openProfile('b')
    const layout = { ...profile('b'), kind: 'title' as const }
    one.shelf.outcomes([
      {
        key: 'title:b',
        base: null,
        wrote: null,
        now: null,
        fork: { ...layout, id: 'n' } as unknown as Entry,
        conflicts: [],
      },
    ])
    expect(one.shelf.open.id).toBe('b')
  })

  it('of the profile that is open only since none was chosen is open afterwards', async () => {
    await start({ 'profile:a': A, 'profile:b': profile('b', { place: 1 }), desk: { ...DESK, openId: null } })
    const one = await open()
    await unheard({ ...A, document: { ...A.document, version: 99 } }, 'profile:a')
    set(one, 'name', 'Mine')
    await settle()
    expect(one.shelf.open.document.name).toBe('Mine')
  })
})

describe('a tab that reads late', () => {
  it('shows what another tab made of what it wrote meanwhile', async () => {
    await start({ 'profile:a': A }, 'read is cut', 1, 10_000)
    const one = await open()
    const added = one.shelf.addProfile('a profile', { ...BUILT_IN_PROFILES['three-button'], name: 'Auk' })
    if (!added.ok) throw new Error(added.error)
    for (let k = 0; k < 500 && !stored(keyOf(added.value)); k++) await pause(1)
    await unheard(withFields(added.value, { notes: 'Theirs' }), keyOf(added.value))
    db.heal()
    await settle()
    expect(one.shelf.profiles.find(({ id }) => id === added.value.id)?.document.notes).toBe('Theirs')
    one.shelf.openProfile(added.value.id)
    set(one, 'name', 'Mine')
    await settle()
    expect(stored(keyOf(added.value))).toMatchObject({ document: { name: 'Mine', notes: 'Theirs' } })
  })

  it('opens what was open last, where only stand-ins were open', async () => {
    await start({ 'profile:a': A, 'profile:0': profile('0', { place: -1 }) }, 'open fails', 1, 10_000)
    const one = await open()
    one.shelf.standIn(DEMO, 'demo-x')
    const [first, second] = one.shelf.profiles
    one.shelf.openProfile(second?.id ?? '')
    one.shelf.openProfile(first?.id ?? '')
    db.heal()
    await settle()
    expect(one.shelf.open.id).toBe('a')
    expect(stored('desk')).toMatchObject({ openId: 'a' })
  })

  it('keeps a stand-in that was edited, and it stays open', async () => {
    await start({ 'profile:a': A }, 'open fails', 1, 10_000)
    const one = await open()
    one.shelf.standIn(DEMO, 'demo-x')
    set(one, 'name', 'Work in a stand-in')
    db.heal()
    await settle()
    expect(one.shelf.open.document.name).toBe('Work in a stand-in')
    expect(stored(`profile:${one.shelf.open.id}`)).toMatchObject({ origin: 'own' })
    one.shelf.undo()
    await settle()
    expect(stored(`profile:${one.shelf.open.id}`)).toMatchObject({ document: { name: 'Profile demo-x' } })
  })
})

describe('a saved shelf', () => {
  it('brings back each of two documents under one id', async () => {
    await start({ 'profile:a': A })
    const one = await open()
    const [x, y] = [profile('s'), withFields(profile('s'), { name: 'Other' })]
    expect(one.shelf.bringBack('bringing back', [x, y, x, A])).toHaveLength(2)
    await settle()
    expect(one.shelf.profiles.map(({ document }) => document.name).sort()).toEqual([
      'Other',
      'Profile a',
      'Profile s',
    ])
  })

  it('has what another tab made of a document from an older version, not its older form', async () => {
    await start({ 'profile:a': A })
    const one = await open()
    one.shelf.older = new Map([['profile:a', 'as it was stored']])
    one.shelf.elsewhere([{ key: 'profile:a', entry: withFields(A, { notes: 'Lifted and edited' }) }])
    expect(one.shelf.older.size).toBe(0)
  })
})

/** One thing that happens. */
type Doing =
  | { readonly do: 'edit'; readonly tab: number; readonly of: number; readonly field: Field }
  | { readonly do: 'undo' | 'redo' | 'remove' | 'add' | 'demo' | 'desk' | 'back'; readonly tab: number }
  | { readonly do: 'open' | 'close' | 'clear'; readonly tab: number }
  | { readonly do: 'wait'; readonly ms: number }

const arbTab = fc.nat(2)
const doing = (...what: Exclude<Doing['do'], 'edit' | 'wait'>[]) =>
  fc.record({ do: fc.constantFrom(...what), tab: arbTab })
const arbEdit = fc.record({
  do: fc.constant('edit' as const),
  tab: arbTab,
  of: fc.nat(3),
  field: fc.constantFrom<Field>('name', 'notes', 'idleResetNs'),
})
const arbWait = fc.record({ do: fc.constant('wait' as const), ms: fc.nat(4) })
const arbFault = fc.record({
  fault: fc.option(fc.constantFrom(...FAULTS)),
  from: fc.integer({ min: 1, max: 30 }),
  times: fc.integer({ min: 1, max: 4 }),
})

interface Edit {
  readonly tab: Tab
  readonly field: Field
  readonly value: string | number
}

class Evening {
  /** The edits of each field of each document, in order. */
  readonly edits = new Map<string, Edit[]>()
  readonly added = new Set<string>()
  #count = 0

  async does(what: Doing): Promise<void> {
    if (what.do === 'wait') return void (await pause(what.ms))
    if (what.do === 'clear') return db.clear()
    if (what.do === 'open') {
      if (tabs.length < 3) await open()
      return
    }
    const tab = tabs[what.tab % tabs.length]
    if (!tab) return
    if (what.do === 'close') {
      // A tab that is closed while it says that something is not kept loses that, and says so.
      if (tabs.length < 2 || tab.shelf.saving.kind !== 'saved') return
      tab.store.close()
      tabs = tabs.filter((one) => one !== tab)
      return
    }
    const { shelf } = tab
    const n = ++this.#count
    if (what.do === 'edit') {
      const to = shelf.profiles[what.of % Math.max(1, shelf.profiles.length)]
      if (to) shelf.openProfile(to.id)
      const value = what.field === 'idleResetNs' ? 1_000_000 + n * 1_000 : `${what.field} ${n}`
      if (!set(tab, what.field, value).ok) throw new Error('an edit was refused')
      const at = `${shelf.open.id} ${what.field}`
      this.edits.set(at, [...(this.edits.get(at) ?? []), { tab, field: what.field, value }])
    }
    if (what.do === 'undo') shelf.undo()
    if (what.do === 'redo') shelf.redo()
    if (what.do === 'remove') shelf.remove('removal', shelf.profiles.slice(0, 1))
    if (what.do === 'demo') shelf.layOut('demo', DEMO)
    if (what.do === 'desk')
      shelf.setDesk({ marginNs: 200 + n, adapters: { [`box ${n}`]: { label: `${n}`, layoutIds: null } } })
    if (what.do === 'back')
      shelf.bringBack('bringing back', [A, profile('s', { document: { ...A.document, name: 'Saved' } })])
    if (what.do === 'add') {
      shelf.addProfile('a profile', { ...BUILT_IN_PROFILES['three-button'], name: `Added ${n}` })
      this.added.add(`Added ${n}`)
    }
  }
}

const NEWER = { ...profile('n'), document: { ...A.document, version: 99 } }

async function runs(
  doings: readonly Doing[],
  { fault, from, times }: { fault: Fault | null; from: number; times: number },
): Promise<Evening> {
  await start(
    { 'profile:a': A, 'profile:b': profile('b', { place: 1 }), 'profile:n': NEWER },
    fault,
    from,
    times,
  )
  db.isCleared = true
  const evening = new Evening()
  try {
    await open()
    await open()
    for (const what of doings) await evening.does(what)
    db.heal()
    await settle()
    expect(db.breaches).toEqual([])
    expect(stored('profile:n')).toEqual(NEWER)
    return evening
  } finally {
    for (const { store } of tabs) store.close()
    tabs = []
    db.remove()
  }
}

describe('whatever two and three tabs do', () => {
  const numRuns = process.env['NINEPIN_LONG'] ? 3_000 : 60
  const timeout = 3_600_000

  it('all of them show what is stored, and no revision goes down', { timeout }, async () => {
    const arbDoing = fc.oneof(
      { weight: 6, arbitrary: arbEdit },
      { weight: 4, arbitrary: arbWait },
      {
        weight: 6,
        arbitrary: doing('undo', 'redo', 'remove', 'add', 'demo', 'desk', 'back', 'open', 'close'),
      },
      { weight: 1, arbitrary: doing('clear') },
    )
    await fc.assert(
      fc.asyncProperty(fc.array(arbDoing, { maxLength: 14 }), arbFault, async (doings, fault) => {
        await runs(doings, fault)
      }),
      { numRuns, endOnFailure: !process.env['NINEPIN_LONG'] },
    )
  })

  it('nothing that was made is lost', { timeout }, async () => {
    const arbDoing = fc.oneof(
      { weight: 6, arbitrary: arbEdit },
      { weight: 4, arbitrary: arbWait },
      { weight: 3, arbitrary: doing('add', 'demo', 'desk', 'back', 'open', 'close') },
    )
    await fc.assert(
      fc.asyncProperty(fc.array(arbDoing, { maxLength: 14 }), arbFault, async (doings, fault) => {
        const { edits, added } = await runs(doings, fault)
        const profiles = storedEntries().filter((entry) => entry.kind === 'profile')
        const values = (field: Field) => profiles.map(({ document }) => document[field])
        for (const list of edits.values()) {
          // Of a field that several tabs changed, the last value of one of them stands.
          const last = [...new Map(list.map((edit) => [edit.tab, edit])).values()]
          const field = last[0]?.field ?? 'name'
          expect(last.some(({ value }) => values(field).includes(value))).toBe(true)
        }
        const touched = [...edits.values()].flat().some(({ field }) => field === 'name')
        if (!touched) for (const name of added) expect(values('name')).toContain(name)
        expect(profiles.length).toBeGreaterThanOrEqual(2 + added.size)
        const desk = db.committed.get('desk') as { adapters: Record<string, unknown> }
        const labels = doings.filter((what) => what.do === 'desk').length
        expect(Object.keys(desk.adapters).length).toBe(labels)
      }),
      { numRuns, endOnFailure: !process.env['NINEPIN_LONG'] },
    )
  })
})
