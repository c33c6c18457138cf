import { documentSentence } from '../document/document.ts'
import type { DocumentError } from '../document/document.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import type { Profile } from '../profile/schema.ts'
import { checkLayout, checkProfile, checkTitle } from '../shelf/files.ts'
import type { FileContent } from '../shelf/files.ts'
import { EMPTY_DESK, withDeskChange } from '../shelf/desk.ts'
import type { Desk, DeskChange } from '../shelf/desk.ts'
import { keyOf, newId } from '../shelf/entry.ts'
import { sameJson } from '../document/same-json.ts'
import type { Entry, EntryKey, LayoutEntry, ProfileEntry, TitleEntry } from '../shelf/entry.ts'
import { mergeEntries } from '../shelf/merge.ts'
import type { FirstReading, Saving, Loaded, Outcome, ShelfStore, Unreadable, Write } from '../shelf/store.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { refusedInMicroseconds } from '../title/refused-times.ts'
import type { Title } from '../title/schema.ts'
import { EMPTY_HISTORY, back, forth, joins, meets, record, renamed, seal, withStep } from './history.ts'
import type { Change, History, Step } from './history.ts'
import { broughtBack, entryMap, withChanges, without } from './entry-map.ts'
import type { EntryMap } from './entry-map.ts'
import { shelfTexts as t } from './app-texts.ts'

/** Stands in while the shelf holds no profile at all. Its first edit puts it there, under an id that no stored profile has. */
const plainProfile = (): ProfileEntry => ({
  kind: 'profile',
  id: newId(),
  revision: 1,
  place: 0,
  origin: 'own',
  document: BUILT_IN_PROFILES['six-button'],
})

const byPlace = (a: Entry, b: Entry): number => a.place - b.place || (a.id < b.id ? -1 : 1)

/** Everything the user keeps, with undo. Each change is written to the store as it is made. */
export class ShelfState {
  readonly #store: ShelfStore
  readonly #plain = plainProfile()
  #entries = $state.raw<EntryMap>(entryMap([]))
  #openId = $state.raw<string | null>(null)
  #history = $state.raw<History>(EMPTY_HISTORY)
  #desk = $state.raw<Desk>(EMPTY_DESK)
  /** What of the desk was changed before the store was read. */
  #deskChange: DeskChange = {}
  /** Entries that are shown while the store cannot be read, and are in no store. */
  #standIns: EntryMap = entryMap([])
  #isRead = $state(false)
  saving = $state.raw<Saving>({ kind: 'saved' })
  /** Records that this version cannot read. They stay where they are until the user removes them. */
  unreadable = $state.raw<readonly Unreadable[]>([])
  /** What an older Ninepin stored, as it stands in the store, until an edit stores it in the present version. */
  older = $state.raw<ReadonlyMap<EntryKey, unknown>>(entryMap([]))

  readonly profiles: readonly ProfileEntry[] = $derived(
    [...this.#entries.values()].filter((entry) => entry.kind === 'profile').sort(byPlace),
  )
  readonly titles: readonly TitleEntry[] = $derived(
    [...this.#entries.values()].filter((entry) => entry.kind === 'title').sort(byPlace),
  )
  readonly layouts: readonly LayoutEntry[] = $derived(
    [...this.#entries.values()].filter((entry) => entry.kind === 'layout').sort(byPlace),
  )
  readonly open: ProfileEntry = $derived(
    this.profiles.find(({ id }) => id === this.#openId) ?? this.profiles[0] ?? this.#plain,
  )
  readonly hasDemo: boolean = $derived([...this.#entries.values()].some(({ origin }) => origin === 'demo'))

  /** @param first what the store had answered when the app opened; a reading that comes later goes to {@link loaded} */
  constructor(store: ShelfStore, first: FirstReading) {
    this.#store = store
    if (first.kind === 'read') this.loaded(first.loaded)
  }

  /**
   * The store has been read. What was made meanwhile stands beside what was stored: until now nothing here had an id that is in
   * the store.
   */
  loaded({ entries, desk, unreadable, older }: Loaded): void {
    this.#isRead = true
    const mine = [...this.#entries.values()].filter((entry) => !this.#standIns.has(keyOf(entry)))
    // What is on its way to the store is not among what was read; of all else the store has the later version.
    this.#entries = entryMap([...mine, ...entries])
    this.#standIns = entryMap([])
    this.#desk = withDeskChange(desk, this.#deskChange) as Desk
    if (!this.#isHere(this.#openId)) this.#openId = this.#desk.openId
    this.unreadable = unreadable
    this.older = older
  }

  /** The demo has not been laid out in this store, and what is in it has been read: only then may it be. */
  get wantsDemo(): boolean {
    return this.#isRead && !this.#desk.seeded
  }

  /** While the store cannot be read the demo is shown, in memory alone and under ids of its own, so that it meets nothing stored. */
  standIn(documents: readonly Entry[], openId: string): void {
    if (this.#isRead || this.#entries.size > 0) return
    const entries = documents.map((entry) => ({ ...entry, id: `${entry.id}-${newId()}` }))
    this.#standIns = entryMap(entries)
    this.#entries = entryMap(entries)
    this.#openId = entries[documents.findIndex(({ id }) => id === openId)]?.id ?? null
  }

  #isHere(profileId: string | null): boolean {
    return this.#entries.has(`profile:${profileId}`)
  }

  get desk(): Desk {
    return this.#desk
  }

  setDesk(change: DeskChange): void {
    this.#desk = withDeskChange(this.#desk, change) as Desk
    if (!this.#isRead) this.#deskChange = withDeskChange(this.#deskChange, change)
    this.#store.write([], change)
  }

  /** What undo would take back and redo would do again; `null` for nothing. */
  get undoLabel(): string | null {
    return this.#history.past.at(-1)?.label ?? null
  }
  get redoLabel(): string | null {
    return this.#history.future[0]?.label ?? null
  }

  /**
   * Changes the open profile. A change that the schema refuses changes nothing and comes back as an error.
   *
   * @param group steps of one group that follow closely become one
   */
  edit(
    label: string,
    change: (profile: Profile) => unknown,
    group: string | null = null,
  ): Result<Profile, DocumentError> {
    const before = this.open
    const checked = checkProfile(change(before.document))
    if (!checked.ok) return checked
    if (!sameJson(checked.value, before.document)) {
      this.#edited(label, before, { ...before, document: checked.value, origin: 'own' }, group)
    }
    return checked
  }

  /** The same for a title. */
  editTitle(
    id: string,
    label: string,
    change: (title: Title) => unknown,
    group: string | null = null,
  ): Result<Title, DocumentError> {
    const before = this.#entries.get(`title:${id}`)
    if (before?.kind !== 'title') return err({ place: '', message: t.titleGone })
    // Whatever changes a title here has its times in fields, in µs.
    const checked = refusedInMicroseconds(() => checkTitle(change(before.document)))
    if (!checked.ok) return checked
    if (!sameJson(checked.value, before.document)) {
      this.#edited(label, before, { ...before, document: checked.value, origin: 'own' }, group)
    }
    return checked
  }

  /** The same for a pad's layout. */
  editLayout(
    id: string,
    label: string,
    change: (layout: Layout) => unknown,
    group: string | null = null,
  ): Result<Layout, DocumentError> {
    const before = this.#entries.get(`layout:${id}`)
    if (before?.kind !== 'layout') return err({ place: '', message: t.layoutGone })
    const checked = checkLayout(change(before.document))
    if (!checked.ok) return checked
    if (!sameJson(checked.value, before.document)) {
      this.#edited(label, before, { ...before, document: checked.value, origin: 'own' }, group)
    }
    return checked
  }

  #edited(label: string, before: Entry, after: Entry, group: string | null): void {
    const joined = joins(this.#history, group, Date.now())
    const revision = joined ? before.revision : before.revision + 1
    this.#commit(label, [{ key: keyOf(before), before, after: { ...after, revision } }], { group })
  }

  /** Puts a profile on the shelf and opens it. */
  addProfile(label: string, document: Profile): Result<ProfileEntry, string> {
    const checked = checkProfile(document)
    if (!checked.ok) return err(documentSentence(checked.error))
    const entry: ProfileEntry = { kind: 'profile', document: checked.value, ...this.#card(this.profiles) }
    this.#put(label, [entry])
    return ok(entry)
  }

  addTitle(label: string, document: Title): Result<TitleEntry, string> {
    const checked = checkTitle(document)
    if (!checked.ok) return err(documentSentence(checked.error))
    const entry: TitleEntry = { kind: 'title', document: checked.value, ...this.#card(this.titles) }
    this.#put(label, [entry])
    return ok(entry)
  }

  addLayout(label: string, document: Layout): Result<LayoutEntry, string> {
    const checked = checkLayout(document)
    if (!checked.ok) return err(documentSentence(checked.error))
    const entry: LayoutEntry = { kind: 'layout', document: checked.value, ...this.#card(this.layouts) }
    this.#put(label, [entry])
    return ok(entry)
  }

  /** Puts what was read from files on the shelf, all in one step, and opens the last profile among it. */
  addAll(label: string, contents: readonly FileContent[]): readonly Entry[] {
    const lists = { profile: this.profiles, title: this.titles, layout: this.layouts }
    const added = contents.map((content, k): Entry => ({
      ...content,
      ...this.#card(lists[content.kind], k),
    }))
    if (added.length > 0) this.#put(label, added)
    return added
  }

  /**
   * Brings a saved shelf back, all in one step: what is missing comes back as it was, what is there with other content is kept and the saved
   * version stands beside it. Gives what was added.
   */
  bringBack(label: string, saved: readonly Entry[]): readonly Entry[] {
    const added = broughtBack(this.#entries, saved)
    if (added.length > 0) this.#put(label, added)
    return added
  }

  /** Everything on it, in the order of its lists. */
  get all(): readonly Entry[] {
    return [...this.profiles, ...this.titles, ...this.layouts]
  }

  #put(label: string, added: readonly Entry[]): void {
    const opened = added.findLast(({ kind }) => kind === 'profile')
    this.#commit(
      label,
      added.map((entry) => ({ key: keyOf(entry), before: null, after: entry })),
      opened ? { openId: opened.id } : {},
    )
  }

  /** @param after how many are put there before it in the same step */
  #card(among: readonly Entry[], after = 0) {
    const place = Math.max(0, ...among.map((entry) => entry.place + 1)) + after
    return { id: newId(), revision: 1, place, origin: 'own' as const }
  }

  openProfile(id: string): void {
    this.#openId = id
    // A stand-in is in no store, and what the store says was open last stays.
    if (!this.#standIns.has(`profile:${id}`)) this.setDesk({ openId: id })
  }

  /** Takes documents off the shelf. A shelf without any profile gets the plain six-button one. */
  remove(label: string, going: readonly Entry[]): void {
    if (going.length === 0) return
    const changes: Change[] = going.map((entry) => ({ key: keyOf(entry), before: entry, after: null }))
    const left = without(this.#entries, going.map(keyOf))
    if (![...left.values()].some(({ kind }) => kind === 'profile')) {
      const plain: ProfileEntry = { ...plainProfile(), ...this.#card([]) }
      changes.push({ key: keyOf(plain), before: null, after: plain })
    }
    this.#commit(label, changes, {})
  }

  /** Takes off all that the demo laid out and the user has not changed. */
  clearDemo(label: string): void {
    this.remove(
      label,
      [...this.#entries.values()].filter(({ origin }) => origin === 'demo'),
    )
  }

  /** Lays documents out beside what is there; those that are there already stay as they are. */
  layOut(label: string, documents: readonly Entry[]): void {
    const missing = documents.filter((entry) => !this.#entries.has(keyOf(entry)))
    if (missing.length === 0) return
    this.#commit(
      label,
      missing.map((entry) => ({ key: keyOf(entry), before: null, after: entry })),
      {},
    )
  }

  /** The first laying out is no step of the user's. What the store holds under the same id stays, and is shown instead. */
  seed(documents: readonly Entry[], openId: string): void {
    if (!this.wantsDemo) return
    const changes = documents
      .filter((entry) => !this.#entries.has(keyOf(entry)))
      .map((entry) => ({ key: keyOf(entry), before: null, after: entry }))
    this.#apply(changes)
    if (!this.#isHere(this.#openId)) this.#openId = openId
    this.setDesk({ seeded: true, openId: this.#openId })
  }

  /** What follows is a step of its own, whatever its group. */
  seal(): void {
    this.#history = seal(this.#history)
  }

  undo(): string | null {
    const taken = back(this.#history)
    if (!taken) return null
    const { step, history } = taken
    const done = this.#restore(step.changes.map(turned), step.open.before)
    this.#history = { ...history, future: withStep(history.future, 0, done.map(turned)) }
    return step.label
  }

  redo(): string | null {
    const taken = forth(this.#history)
    if (!taken) return null
    const { step, history } = taken
    const done = this.#restore(step.changes, step.open.after)
    this.#history = { ...history, past: withStep(history.past, history.past.length - 1, done) }
    return step.label
  }

  /** Another tab wrote documents. Work of this tab on the same document can be had back by undo. Gives their names. */
  elsewhere(writes: readonly Write[]): {
    readonly changed: readonly string[]
    readonly removed: readonly string[]
  } {
    const changes: Change[] = writes
      .map(({ key, entry }) => ({ key, before: this.#entries.get(key) ?? null, after: entry }))
      .filter(
        ({ before, after }) =>
          !sameJson(before?.document, after?.document) || before?.revision !== after?.revision,
      )
    this.#follow(changes)
    this.#noteOthers(changes)
    const named = (list: readonly Change[]) => list.map(({ before }) => before?.document.name ?? '')
    return {
      changed: named(changes.filter(({ before, after }) => before && after)),
      removed: named(changes.filter(({ before, after }) => before && !after)),
    }
  }

  /**
   * The store made something else of what this tab wrote: another tab's work was merged in, or what stands under the key had to stay.
   * Work that was done meanwhile is carried over. Gives what the user has to know.
   */
  outcomes(outcomes: readonly Outcome[]): StoreNews {
    const news: News = { merged: [], overwrote: [], copied: [], stays: [] }
    for (const outcome of outcomes) {
      const { key, wrote, now, fork } = outcome
      const mine = this.#entries.get(key) ?? null
      const isLatest = mine === wrote
      // What was changed since is joined with what is stored now; the change itself knew nothing of that.
      const carried = mine && now && !isLatest && !fork ? carry(outcome, mine, now) : null
      if (fork || (mine && now && !isLatest && !carried)) {
        this.#copied(outcome, fork ?? { ...(mine as Entry), id: newId() }, news)
        continue
      }
      if (isLatest) this.#follow([{ key, before: mine, after: now }])
      else if (carried) {
        this.#follow([{ key, before: mine, after: carried }])
        this.#store.write([{ key, entry: carried }])
      } else if (now && !sameJson(now.document, wrote?.document)) {
        // Taken off meanwhile, without a look at what another tab had made of it.
        this.#follow([{ key, before: null, after: now }])
        this.#store.write([{ key, entry: now }])
      } else continue
      const after = this.#entries.get(key) ?? null
      this.#noteOthers([{ key, before: mine, after }])
      if (!now) continue
      if (!wrote || !mine) news.stays.push(now.document.name)
      else if (outcome.conflicts.length > 0) news.overwrote.push(now.document.name)
      else if (!sameJson(wrote.document, now.document)) news.merged.push(now.document.name)
    }
    return news
  }

  /** What stands under the key stays there, and this tab's version goes on as a copy beside it, with all that undo knows of it. */
  #copied({ key, wrote, now, fork }: Outcome, copyStored: Entry, news: News): void {
    const mine = this.#entries.get(key) ?? null
    const copy = mine === null || mine === wrote ? copyStored : { ...mine, id: copyStored.id }
    const isOpen = key === `profile:${this.open.id}`
    this.#history = renamed(this.#history, key, keyOf(copy))
    this.#follow([
      { key, before: mine, after: now },
      { key: keyOf(copy), before: null, after: copy },
    ])
    if (isOpen) this.openProfile(copy.id)
    // What waits under the old key is the copy's now.
    if (mine !== wrote) this.#store.write([{ key, entry: now }])
    if (copy !== fork) this.#store.write([{ key: keyOf(copy), entry: copy }])
    news.copied.push(copy.document.name)
  }

  /** Shows what is stored by now. */
  #follow(changes: readonly Change[]): void {
    this.#entries = withChanges(this.#entries, changes)
    this.older = without(
      this.older,
      changes.map(({ key }) => key),
    )
  }

  /**
   * Where others overwrote or removed what this tab had changed, undo gives that back. What they changed besides is none of this tab's
   * steps: undo leaves it alone.
   */
  #noteOthers(changes: readonly Change[]): void {
    const ours = changes.filter(
      (change) =>
        change.before !== null &&
        !sameJson(change.before.document, change.after?.document) &&
        meets(this.#history, change),
    )
    if (ours.length === 0) return
    const open = { before: this.#openId, after: this.#openId }
    const group = `elsewhere ${ours.map(({ key }) => key).join(' ')}`
    const label = t.otherTab
    this.#history = record(this.#history, { label, changes: ours, open, group, atMs: Date.now() })
  }

  #commit(
    label: string,
    changes: readonly Change[],
    { openId = this.#openId, group = null }: { openId?: string | null; group?: string | null },
  ): void {
    const step: Step = {
      label,
      changes,
      open: { before: this.#openId, after: openId },
      group,
      atMs: Date.now(),
    }
    this.#history = record(this.#history, step)
    this.#apply(changes)
    if (openId !== this.#openId && openId !== null) this.openProfile(openId)
  }

  /**
   * Does changes again or takes them back: only what they changed, whatever else has changed since. A version that comes back gets a new
   * number, unless it was gone altogether. Gives what that came to, for the way back.
   */
  #restore(changes: readonly Change[], openId: string | null): readonly Change[] {
    const done = changes.map(({ key, before, after }): Change => {
      const now = this.#entries.get(key) ?? null
      // It is there by now, or gone: that is not undone once more.
      if (after && !before && now) return { key, before: null, after: now }
      if (!after || !before || !now) return { key, before: now, after }
      const revision = Math.max(now.revision, after.revision) + 1
      return { key, before: now, after: mergeEntries(before, after, now).entry ?? { ...after, revision } }
    })
    this.#apply(done.filter(({ key, after }) => after !== (this.#entries.get(key) ?? null)))
    if (openId !== this.#openId && openId !== null && this.#isHere(openId)) this.openProfile(openId)
    return done
  }

  #apply(changes: readonly Change[]): void {
    this.#entries = withChanges(this.#entries, changes)
    const keys = changes.map(({ key }) => key)
    this.#standIns = without(this.#standIns, keys)
    this.older = without(this.older, keys)
    this.#store.write(changes.map(({ key, after }) => ({ key, entry: after })))
  }
}

const turned = ({ key, before, after }: Change): Change => ({ key, before: after, after: before })

/**
 * A version of this tab that came after the one that was written, joined with what the store holds. `null` where the two together
 * are no document.
 */
function carry({ base, wrote }: Outcome, mine: Entry, now: Entry): Entry | null {
  const from = wrote ?? base
  return from ? mergeEntries(from, mine, now).entry : null
}

type News = { -readonly [K in keyof StoreNews]: string[] }

/** What the user has to know of writes of which the store made something else: names of entries. */
export interface StoreNews {
  /** Another tab’s work was merged in. */
  readonly merged: readonly string[]
  /** The same, and where both had changed the same this tab's change stands. */
  readonly overwrote: readonly string[]
  /** Stored as a copy, since what stands in the store cannot be read or is another’s. */
  readonly copied: readonly string[]
  /** Not removed, since another tab changed it. */
  readonly stays: readonly string[]
}
