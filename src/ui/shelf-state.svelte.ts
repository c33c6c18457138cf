import { documentSentence } from '../document/document.ts'
import type { DocumentError } from '../document/document.ts'
import { err, ok } from '../port/result.ts'
import type { Result } from '../port/result.ts'
import { BUILT_IN_PROFILES } from '../profile/built-in.ts'
import type { Profile } from '../profile/schema.ts'
import { checkLayout, checkProfile, checkTitle } from '../shelf/files.ts'
import type { FileContent } from '../shelf/files.ts'
import { EMPTY_DESK } from '../shelf/desk.ts'
import type { Desk } from '../shelf/desk.ts'
import { keyOf, newId } from '../shelf/entry.ts'
import { sameJson } from '../shelf/same.ts'
import type { Entry, LayoutEntry, ProfileEntry, TitleEntry } from '../shelf/entry.ts'
import type { Keeping, Loaded, ShelfStore, Write } from '../shelf/store.ts'
import type { Layout } from '../pad/layout/schema.ts'
import type { Title } from '../title/schema.ts'
import { EMPTY_HISTORY, back, forth, joins, record, seal, touches } from './history.ts'
import type { Change, History, Step } from './history.ts'
import { entryMap, withChanges } from './entry-map.ts'
import type { EntryMap } from './entry-map.ts'

/** Stands in while the shelf holds no profile at all, for the moment before one is put there. */
const PLAIN: ProfileEntry = {
  kind: 'profile',
  id: 'six-button',
  revision: 1,
  place: 0,
  origin: 'own',
  document: BUILT_IN_PROFILES['six-button'],
}

const byPlace = (a: Entry, b: Entry): number => a.place - b.place || (a.id < b.id ? -1 : 1)

/** Everything the user keeps, with undo. Each change is written to the store as it is made. */
export class ShelfState {
  readonly #store: ShelfStore
  #kept = $state.raw<EntryMap>(entryMap([]))
  #openId = $state.raw<string | null>(null)
  #history = $state.raw<History>(EMPTY_HISTORY)
  #desk = $state.raw<Desk>(EMPTY_DESK)
  keeping = $state.raw<Keeping>({ kind: 'kept' })

  readonly profiles: readonly ProfileEntry[] = $derived(
    [...this.#kept.values()].filter((kept) => kept.kind === 'profile').sort(byPlace),
  )
  readonly titles: readonly TitleEntry[] = $derived(
    [...this.#kept.values()].filter((kept) => kept.kind === 'title').sort(byPlace),
  )
  readonly layouts: readonly LayoutEntry[] = $derived(
    [...this.#kept.values()].filter((kept) => kept.kind === 'layout').sort(byPlace),
  )
  readonly open: ProfileEntry = $derived(
    this.profiles.find(({ id }) => id === this.#openId) ?? this.profiles[0] ?? PLAIN,
  )
  readonly hasDemo: boolean = $derived([...this.#kept.values()].some(({ origin }) => origin === 'demo'))

  constructor(store: ShelfStore, loaded: Loaded) {
    this.#store = store
    this.#kept = entryMap(loaded.kept)
    this.#desk = loaded.desk
    this.#openId = loaded.desk.openId
  }

  get desk(): Desk {
    return this.#desk
  }

  setDesk(change: Partial<Desk>): void {
    this.#desk = { ...this.#desk, ...change }
    this.#store.write([], this.#desk)
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
    const before = this.#kept.get(`title:${id}`)
    if (before?.kind !== 'title') return err({ place: '', message: 'this title is no longer on the shelf' })
    const checked = checkTitle(change(before.document))
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
    const before = this.#kept.get(`layout:${id}`)
    if (before?.kind !== 'layout') return err({ place: '', message: 'this layout is no longer on the shelf' })
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
    const kept: ProfileEntry = { kind: 'profile', document: checked.value, ...this.#card(this.profiles) }
    this.#put(label, [kept])
    return ok(kept)
  }

  addTitle(label: string, document: Title): Result<TitleEntry, string> {
    const checked = checkTitle(document)
    if (!checked.ok) return err(documentSentence(checked.error))
    const kept: TitleEntry = { kind: 'title', document: checked.value, ...this.#card(this.titles) }
    this.#put(label, [kept])
    return ok(kept)
  }

  addLayout(label: string, document: Layout): Result<LayoutEntry, string> {
    const checked = checkLayout(document)
    if (!checked.ok) return err(documentSentence(checked.error))
    const kept: LayoutEntry = { kind: 'layout', document: checked.value, ...this.#card(this.layouts) }
    this.#put(label, [kept])
    return ok(kept)
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

  #put(label: string, added: readonly Entry[]): void {
    const opened = added.findLast(({ kind }) => kind === 'profile')
    this.#commit(
      label,
      added.map((kept) => ({ key: keyOf(kept), before: null, after: kept })),
      opened ? { openId: opened.id } : {},
    )
  }

  /** @param after how many are put there before it in the same step */
  #card(among: readonly Entry[], after = 0) {
    const place = Math.max(0, ...among.map((kept) => kept.place + 1)) + after
    return { id: newId(), revision: 1, place, origin: 'own' as const }
  }

  openProfile(id: string): void {
    this.#openId = id
    this.setDesk({ openId: id })
  }

  /** Takes documents off the shelf. A shelf without any profile gets the plain six-button one. */
  remove(label: string, going: readonly Entry[]): void {
    if (going.length === 0) return
    const changes: Change[] = going.map((kept) => ({ key: keyOf(kept), before: kept, after: null }))
    const gone = going.map(keyOf)
    if (this.profiles.every((profile) => gone.includes(keyOf(profile)))) {
      const plain: ProfileEntry = { ...PLAIN, ...this.#card([]) }
      changes.push({ key: keyOf(plain), before: null, after: plain })
    }
    this.#commit(label, changes, {})
  }

  /** Takes off all that the demo laid out and the user has not changed. */
  clearDemo(label: string): void {
    this.remove(
      label,
      [...this.#kept.values()].filter(({ origin }) => origin === 'demo'),
    )
  }

  /** Lays documents out beside what is there; those that are there already stay as they are. */
  layOut(label: string, documents: readonly Entry[]): void {
    const missing = documents.filter((kept) => !this.#kept.has(keyOf(kept)))
    if (missing.length === 0) return
    this.#commit(
      label,
      missing.map((kept) => ({ key: keyOf(kept), before: null, after: kept })),
      {},
    )
  }

  /** The first laying out is no step of the user's. */
  seed(documents: readonly Entry[], openId: string): void {
    const changes = documents
      .filter((kept) => !this.#kept.has(keyOf(kept)))
      .map((kept) => ({ key: keyOf(kept), before: null, after: kept }))
    this.#apply(changes)
    this.#openId ??= openId
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
    this.#history = history
    this.#restore(
      step.changes.map(({ key, before, after }) => ({ key, before: after, after: before })),
      step.open.before,
    )
    return step.label
  }

  redo(): string | null {
    const taken = forth(this.#history)
    if (!taken) return null
    this.#history = taken.history
    this.#restore(taken.step.changes, taken.step.open.after)
    return taken.step.label
  }

  /** Another tab wrote documents. Work of this tab on the same document can be had back by undo. Gives their names. */
  elsewhere(writes: readonly Write[]): {
    readonly changed: readonly string[]
    readonly removed: readonly string[]
  } {
    const changes: Change[] = writes
      .map(({ key, kept }) => ({ key, before: this.#kept.get(key) ?? null, after: kept }))
      .filter(
        ({ before, after }) =>
          !sameJson(before?.document, after?.document) || before?.revision !== after?.revision,
      )
    this.#kept = withChanges(this.#kept, changes)
    const ours = changes.filter(({ key, before }) => before !== null && touches(this.#history, key))
    if (ours.length > 0) {
      const open = { before: this.#openId, after: this.#openId }
      const group = `elsewhere ${ours.map(({ key }) => key).join(' ')}`
      this.#history = record(this.#history, {
        label: 'the other tab’s change',
        changes: ours,
        open,
        group,
        atMs: Date.now(),
      })
    }
    const named = (list: readonly Change[]) => list.map(({ before }) => before?.document.name ?? '')
    return {
      changed: named(changes.filter(({ before, after }) => before && after)),
      removed: named(changes.filter(({ before, after }) => before && !after)),
    }
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

  /** A version that comes back gets a new number, unless it was gone altogether. */
  #restore(changes: readonly Change[], openId: string | null): void {
    this.#apply(
      changes.map((change) => {
        const now = this.#kept.get(change.key)
        if (!change.after || !now) return change
        return { ...change, after: { ...change.after, revision: now.revision + 1 } }
      }),
    )
    if (openId !== this.#openId && openId !== null) this.openProfile(openId)
  }

  #apply(changes: readonly Change[]): void {
    this.#kept = withChanges(this.#kept, changes)
    this.#store.write(changes.map(({ key, after }) => ({ key, kept: after })))
  }
}
