import * as v from 'valibot'
import { documentSentence } from '../document/document.ts'
import { Connection } from './connection.ts'
import type { Writing } from './connection.ts'
import { EMPTY_DESK, isDeskRecord, readDesk, withDeskChange } from './desk.ts'
import type { Desk, DeskChange } from './desk.ts'
import { isEntryKey, isOfOlderVersion, keyOf, newId, readEntry } from './entry.ts'
import type { Entry, EntryKey } from './entry.ts'
import { resolve } from './resolve.ts'
import type { Resolution, Stored } from './resolve.ts'
import { sameJson } from '../document/same-json.ts'
import { storeTexts } from './shelf-texts.ts'
import { notReadSentence, notSavedSentence } from './store-words.ts'

/** What one edit writes: an entry, or `null` where one was taken off the shelf. */
export interface Write {
  readonly key: EntryKey
  readonly entry: Entry | null
}

/** A record that this version cannot read. It stays where it is until the user removes it. */
export interface Unreadable {
  readonly key: string
  /** The record as it is stored, for a file. */
  readonly record: unknown
  /** What is wrong with it. */
  readonly sentence: string
}

/** One complete reading of the store. */
export interface Loaded {
  readonly entries: readonly Entry[]
  readonly desk: Desk
  readonly unreadable: readonly Unreadable[]
  /** Records as they are stored, of entries that an older Ninepin wrote: they are lifted here and stored so with their next edit. */
  readonly older: ReadonlyMap<EntryKey, unknown>
}

/** What the first reading gave: what is stored, or why that is not known yet. Reading goes on. */
export type FirstReading =
  | { readonly kind: 'read'; readonly loaded: Loaded }
  /** `refused`: the browser said no; otherwise it has not answered. */
  | { readonly kind: 'unknown'; readonly refused: boolean }

/** Whether what this tab holds is stored. */
export type Saving =
  /** Everything is stored. */
  | { readonly kind: 'saved' }
  /** A write is on its way. */
  | { readonly kind: 'saving' }
  /** The store has not been read yet; `pending` where there is something to be written as well. */
  | { readonly kind: 'unread'; readonly pending: boolean; readonly sentence: string }
  /** A write failed or takes long. It is tried again by itself. */
  | { readonly kind: 'not-saved'; readonly sentence: string }

/** What became of a write where the store holds something other than was given to it. */
export interface Outcome {
  readonly key: EntryKey
  /** What this tab knew to be stored when it was given. */
  readonly base: Entry | null
  /** What was given to the store. */
  readonly wrote: Entry | null
  /** What the store holds under the key now; `null` for nothing that can be read. */
  readonly now: Entry | null
  /** Where what was given is stored instead, since a record under its key must stay. */
  readonly fork: Entry | null
  /** Fields in which another tab’s change was overwritten, as JSON paths. */
  readonly conflicts: readonly string[]
}

export interface StoreListener {
  saving(state: Saving): void
  /** A reading is complete that came later than the first answer. */
  loaded(loaded: Loaded): void
  /** Another tab wrote these. */
  elsewhere(writes: readonly Write[]): void
  /** The store made something else of these writes. */
  outcomes(outcomes: readonly Outcome[]): void
  unreadable(records: readonly Unreadable[]): void
}

export interface StoreOptions {
  /** The wait before the try after `failures` failures in a row, in ms. */
  readonly retryAfterMs?: (failures: number) => number
  /** A write that takes longer is told, in ms. */
  readonly slowAfterMs?: number
}

const CHANNEL = 'ninepin-shelf'
const DESK_KEY = 'desk'
const SIDE = 'side:'
const LOAD_WITHIN_MS = 3_000
const SLOW_AFTER_MS = 2_000

/** Half a second, then twice as long each time, half a minute at most. */
const usualRetryMs = (failures: number): number => Math.min(30_000, 250 * 2 ** failures)

/**
 * The shelf in IndexedDB, one record an entry. Each write is decided inside its transaction, in view of what is stored there
 * (`resolve.ts`), so that no failure, no other tab and no other version lowers a stored revision or overwrites what cannot be read.
 * What failed is tried again by itself; after a lost connection everything is read again, and what is missing is put back.
 */
export class ShelfStore {
  readonly #connection = new Connection(() => this.#lost())
  readonly #channel: BroadcastChannel | null
  readonly #retryAfterMs: (failures: number) => number
  readonly #slowAfterMs: number

  /** What waits to be written. Of several versions of an entry only the last. */
  #waiting = new Map<EntryKey, Entry | null>()
  #waitingDesk: DeskChange = {}
  #waitingSides = new Map<string, unknown>()
  /** Records to be put back as they are, where nothing stands in their place. */
  #waitingRecords = new Map<string, unknown>()
  /** What is being written. */
  #inFlight: ReadonlyMap<EntryKey, Entry | null> = new Map()
  #isWriting = false
  /** What other tabs named before the store was read: the reading may have begun before they wrote. */
  #heardEarly: Told = NOTHING_TOLD
  /** What is stored, as far as this tab knows: the base of every merge. */
  readonly #known = new Map<EntryKey, Entry>()
  readonly #knownSides = new Map<string, unknown>()
  #knownDesk: Readonly<Record<string, unknown>> | null = null
  /** What was changed on a desk that cannot be read: it is stored once the user has removed that record. */
  #refusedDesk: DeskChange = {}
  #unreadable = new Map<string, Unreadable>()

  #isRead = false
  #wasEverRead = false
  #working: Promise<void> | null = null
  #failures = 0
  #sentence: string | null = null
  #retryTimer: ReturnType<typeof setTimeout> | undefined
  #slowTimer: ReturnType<typeof setTimeout> | undefined
  #isClosed = false
  #listener: StoreListener | null = null
  /** Called with the first reading, or the first failure of one. */
  #answer: ((first: FirstReading) => void) | null = null
  #told = ''

  constructor({ retryAfterMs = usualRetryMs, slowAfterMs = SLOW_AFTER_MS }: StoreOptions = {}) {
    this.#retryAfterMs = retryAfterMs
    this.#slowAfterMs = slowAfterMs
    this.#channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(CHANNEL)
    if (this.#channel) this.#channel.onmessage = (event) => void this.#heard(event.data)
  }

  /** Tells how saving stands now and from here on. */
  listen(listener: StoreListener): void {
    this.#listener = listener
    listener.saving(this.#state())
    listener.unreadable([...this.#unreadable.values()])
  }

  /**
   * Everything that is stored, or that it is not known: a browser that does not answer about its storage must not keep the app from
   * opening, and an empty answer is something else than none. A reading that comes later is given to the listener.
   */
  async load(withinMs = LOAD_WITHIN_MS): Promise<FirstReading> {
    const first = new Promise<FirstReading>((resolve) => (this.#answer = resolve))
    const timer = setTimeout(() => this.#give({ kind: 'unknown', refused: false }), withinMs)
    this.#work()
    const answer = await first
    clearTimeout(timer)
    return answer
  }

  /** Writes as soon as the write before has arrived. */
  write(writes: readonly Write[], desk: DeskChange = {}): void {
    for (const { key, entry } of writes) this.#waiting.set(key, entry)
    this.#waitingDesk = withDeskChange(this.#waitingDesk, desk)
    this.#work()
  }

  /** When everything that was given to be written has arrived, or a try has failed. */
  async settled(): Promise<void> {
    while (this.#working) await this.#working
  }

  /** Tries again now what failed before: the page is seen again, or the user asks for it. */
  retry(): void {
    if (this.#failures > 0) this.#work()
  }

  /** A thing of another room, kept beside the shelf under its own key. `undefined` where there is none or it cannot be read. */
  async side(key: string): Promise<unknown> {
    try {
      const value = await this.#connection.read((objects) => objects.get(`${SIDE}${key}`))
      if (value !== undefined) this.#knownSides.set(key, value)
      return value
    } catch {
      return undefined
    }
  }

  /** Resolves when it has arrived or a try has failed. */
  async setSide(key: string, value: unknown): Promise<void> {
    this.#waitingSides.set(key, value)
    this.#work()
    await this.settled()
  }

  /** Puts records that cannot be read back under their keys, as they are, where nothing stands there. */
  putRecords(records: readonly Pick<Unreadable, 'key' | 'record'>[]): void {
    for (const { key, record } of records) if (isEntryKey(key)) this.#waitingRecords.set(key, record)
    // What is there now is found out by reading it.
    this.#isRead = false
    this.#work()
  }

  /** Reads everything again: the page comes back after a time in which it heard nothing of other tabs. */
  lookAgain(): void {
    this.#lost()
  }

  /**
   * Removes a record that cannot be read, by the user’s wish. A record that changed since it was listed stays. In the place of a desk
   * comes that of somebody who was here before: to whom the store looks new, the demo is laid out.
   * Gives whether it is gone.
   */
  async removeUnreadable({ key, record }: Unreadable): Promise<boolean> {
    try {
      await this.#connection.write(async (objects) => {
        if (!sameJson(await objects.get(key), record)) return
        if (key === DESK_KEY) await objects.put(readDesk(record), key)
        else await objects.delete(key)
      })
      // Not to be put back, neither here nor by another tab. The reading finds it again if it is still there.
      this.#setUnreadable(new Map([...this.#unreadable].filter(([other]) => other !== key)))
      this.#say({ wrote: [], removed: [key] })
      await this.#readAll()
    } catch (cause) {
      this.#failed(cause)
    }
    return !this.#unreadable.has(key)
  }

  /** Takes the connection down. What is on its way arrives or not. */
  close(): void {
    this.#isClosed = true
    clearTimeout(this.#retryTimer)
    clearTimeout(this.#slowTimer)
    this.#channel?.close()
    void this.#connection.close()
  }

  get #hasWaiting(): boolean {
    const maps = [this.#waiting, this.#waitingSides, this.#waitingRecords]
    return maps.some(({ size }) => size > 0) || Object.keys(this.#waitingDesk).length > 0
  }

  get #isPending(): boolean {
    return this.#hasWaiting || this.#isWriting
  }

  #state(): Saving {
    const pending = this.#isPending || (this.#working !== null && this.#isRead)
    if (!this.#isRead) {
      return {
        kind: 'unread',
        pending: this.#isPending,
        sentence: this.#sentence ?? storeTexts.readingSlowly,
      }
    }
    if (this.#sentence !== null) return { kind: 'not-saved', sentence: this.#sentence }
    return { kind: pending ? 'saving' : 'saved' }
  }

  #tell(): void {
    const state = this.#state()
    const told = JSON.stringify(state)
    if (told === this.#told) return
    this.#told = told
    this.#listener?.saving(state)
  }

  #give(first: FirstReading): void {
    const answer = this.#answer
    this.#answer = null
    if (answer) answer(first)
    else if (first.kind === 'read') this.#listener?.loaded(first.loaded)
    this.#tell()
  }

  /** The connection was lost: what is stored now is unknown, until it has been read again. */
  #lost(): void {
    if (this.#isClosed || !this.#isRead) return
    this.#isRead = false
    this.#work()
  }

  /** Reads what has not been read and writes what waits, one after the other. */
  #work(): void {
    if (this.#isClosed) return
    clearTimeout(this.#retryTimer)
    this.#working ??= this.#run()
    this.#tell()
  }

  async #run(): Promise<void> {
    // One turn later, so that edits of the same turn go together.
    await Promise.resolve()
    this.#slowTimer = setTimeout(() => {
      this.#sentence ??= this.#isRead ? storeTexts.savingSlowly : storeTexts.readingSlowly
      this.#tell()
    }, this.#slowAfterMs)
    try {
      // A reading that fails does not keep new work from being written: each write looks at what it meets.
      const unread = await this.#tryToRead()
      while (this.#hasWaiting && !this.#isClosed) await this.#writeBatch()
      if (unread !== null) throw unread.cause
      this.#failures = 0
      this.#sentence = null
    } catch (cause) {
      this.#failed(cause)
    } finally {
      clearTimeout(this.#slowTimer)
      this.#working = null
      this.#tell()
      // What came while the last try failed, or while the connection was lost, is not left lying.
      if (this.#failures === 0 && (this.#hasWaiting || !this.#isRead)) this.#work()
    }
  }

  #failed(cause: unknown): void {
    this.#failures++
    this.#sentence = this.#isRead ? notSavedSentence(cause) : notReadSentence(cause)
    if (this.#isClosed) return
    clearTimeout(this.#retryTimer)
    this.#retryTimer = setTimeout(() => this.#work(), this.#retryAfterMs(this.#failures))
    this.#tell()
  }

  async #tryToRead(): Promise<{ readonly cause: unknown } | null> {
    if (this.#isRead) return null
    try {
      await this.#readAll()
      return null
    } catch (cause) {
      // A browser that says no at once will hardly say yes at the second try; anything else may be a hiccup.
      if (isRefusal(cause)) this.#give({ kind: 'unknown', refused: true })
      return { cause }
    }
  }

  /** One complete reading. What is missing though it was stored is put back; what differs is told. */
  async #readAll(): Promise<void> {
    const records = await this.#connection.read((records) => records.all())
    const isFirst = !this.#wasEverRead
    const entries: Entry[] = []
    const older = new Map<EntryKey, unknown>()
    const unreadable = new Map<string, Unreadable>()
    const changed: Write[] = []
    for (const [key, record] of records) {
      if (key === DESK_KEY) {
        if (isDeskRecord(record)) this.#deskIsRead(record)
        else unreadable.set(key, { key, record, sentence: storeTexts.damaged })
      }
      if (!isEntryKey(key)) continue
      const read = readRecord(key, record)
      if (!read.ok) {
        unreadable.set(key, { key, record, sentence: read.sentence })
        continue
      }
      // A write of ours that is on its way is merged with this when it arrives.
      if (this.#isOnItsWay(key)) continue
      if (isOfOlderVersion(record)) older.set(key, record)
      entries.push(read.entry)
      const before = this.#known.get(key)
      this.#known.set(key, read.entry)
      if (!before || !sameJson(before, read.entry)) changed.push({ key, entry: read.entry })
    }
    this.#putBack(records, unreadable)
    this.#setUnreadable(unreadable)
    this.#isRead = true
    this.#wasEverRead = true
    const loaded: Loaded = {
      entries,
      desk: readDesk(records.get(DESK_KEY)),
      unreadable: [...unreadable.values()],
      older,
    }
    if (isFirst) this.#give({ kind: 'read', loaded })
    else if (changed.length > 0) this.#listener?.elsewhere(changed)
    const early = this.#heardEarly
    this.#heardEarly = NOTHING_TOLD
    if (early !== NOTHING_TOLD) void this.#heard(early)
  }

  /** Storage that was cleared, or lost what it had: what this tab knows goes back. */
  #putBack(records: ReadonlyMap<string, unknown>, unreadable: Map<string, Unreadable>): void {
    const isGone = (key: string) => !records.has(key) && !this.#heardEarly.removed.includes(key)
    for (const [key, entry] of this.#known) {
      if (!isGone(key) || this.#isOnItsWay(key)) continue
      this.#waiting.set(key, entry)
    }
    for (const [key, one] of this.#unreadable) {
      if (!isGone(key)) continue
      this.#waitingRecords.set(key, one.record)
      // Listed until it is found again: storage may be cleared once more.
      unreadable.set(key, one)
    }
    for (const [key, value] of this.#knownSides) {
      if (!records.has(`${SIDE}${key}`) && !this.#waitingSides.has(key)) this.#waitingSides.set(key, value)
    }
    if (!records.has(DESK_KEY) && this.#knownDesk !== null) {
      this.#waitingRecords.set(DESK_KEY, this.#knownDesk)
    }
  }

  #deskIsRead(record: Readonly<Record<string, unknown>>): void {
    this.#knownDesk = record
    const refused = this.#refusedDesk
    this.#refusedDesk = {}
    if (Object.keys(refused).length > 0) this.write([], refused)
  }

  #isOnItsWay(key: EntryKey): boolean {
    return this.#waiting.has(key) || this.#inFlight.has(key)
  }

  #setUnreadable(records: Map<string, Unreadable>): void {
    if (sameJson([...this.#unreadable], [...records])) return
    this.#unreadable = records
    this.#listener?.unreadable([...records.values()])
  }

  /**
   * Writes what waits in one transaction. After a failure one entry at a time, so that one that the store will not take does not
   * keep the others from arriving.
   */
  async #writeBatch(): Promise<void> {
    const { entries: some, desk, sides, back } = this.#takeBatch()
    this.#inFlight = some
    this.#isWriting = true
    try {
      const { resolutions, deskRecord } = await this.#connection.write(async (objects) => ({
        back: await putMissing(objects, back),
        resolutions: await this.#putEntries(objects, some),
        deskRecord: await putDesk(objects, desk),
        sides: await putSides(objects, sides),
      }))
      this.#inFlight = new Map()
      this.#isWriting = false
      // What was put back is listed once it has been read again.
      if (back.size > 0) this.#isRead = false
      if (deskRecord) this.#knownDesk = deskRecord
      else this.#refusedDesk = withDeskChange(this.#refusedDesk, desk)
      for (const [key, value] of sides) this.#knownSides.set(key, value)
      this.#arrived(some, resolutions)
    } catch (cause) {
      this.#inFlight = new Map()
      this.#isWriting = false
      // What failed waits to be tried again, unless a newer version of it waits already; it goes to the end of the row.
      for (const [key, entry] of some) if (!this.#waiting.has(key)) this.#waiting.set(key, entry)
      this.#waitingDesk = withDeskChange(desk, this.#waitingDesk)
      this.#waitingSides = new Map([...sides, ...this.#waitingSides])
      for (const [key, record] of back)
        if (!this.#waitingRecords.has(key)) this.#waitingRecords.set(key, record)
      throw cause
    }
  }

  /** Takes what waits, or after a failure one thing of it. Of the kinds each has its turn, so that none waits behind what is refused. */
  #takeBatch(): Batch {
    const all: Batch = {
      entries: this.#waiting,
      desk: this.#waitingDesk,
      sides: this.#waitingSides,
      back: this.#waitingRecords,
    }
    if (this.#failures === 0) {
      this.#waiting = new Map()
      this.#waitingDesk = {}
      this.#waitingSides = new Map()
      this.#waitingRecords = new Map()
      return all
    }
    for (let k = 0; k < 4; k++) {
      const turn = this.#turn++ % 4
      if (turn === 0 && all.entries.size > 0) return { ...NO_BATCH, entries: takeFirst(this.#waiting) }
      if (turn === 1 && Object.keys(all.desk).length > 0) {
        this.#waitingDesk = {}
        return { ...NO_BATCH, desk: all.desk }
      }
      if (turn === 2 && all.sides.size > 0) return { ...NO_BATCH, sides: takeFirst(this.#waitingSides) }
      if (turn === 3 && all.back.size > 0) return { ...NO_BATCH, back: takeFirst(this.#waitingRecords) }
    }
    return NO_BATCH
  }
  #turn = 0

  async #putEntries(
    objects: Writing,
    batch: ReadonlyMap<EntryKey, Entry | null>,
  ): Promise<Map<EntryKey, Resolution>> {
    const resolutions = new Map<EntryKey, Resolution>()
    for (const [key, ours] of batch) {
      const stored = storedOf(key, await objects.get(key))
      // Gone though nobody said so: storage was cleared, and what else is missing has to be looked for.
      if (stored.kind === 'nothing' && this.#known.has(key)) this.#isRead = false
      const resolution = resolve(this.#known.get(key) ?? null, ours, stored, newId)
      resolutions.set(key, resolution)
      if (resolution.kind === 'delete') await objects.delete(key)
      if (resolution.kind === 'put') await objects.put(resolution.entry, key)
      if (resolution.kind === 'fork') await objects.put(resolution.entry, keyOf(resolution.entry))
    }
    return resolutions
  }

  #arrived(batch: ReadonlyMap<EntryKey, Entry | null>, resolutions: ReadonlyMap<EntryKey, Resolution>): void {
    const outcomes: Outcome[] = []
    const wrote: EntryKey[] = []
    const removed: EntryKey[] = []
    const bases = new Map([...batch.keys()].map((key) => [key, this.#known.get(key)]))
    for (const [key, resolution] of resolutions) {
      const given = batch.get(key) ?? null
      const fork = resolution.kind === 'fork' ? resolution.entry : null
      const now = nowStored(resolution)
      if (now) this.#known.set(key, now)
      else this.#known.delete(key)
      if (fork) this.#known.set(keyOf(fork), fork)
      if (resolution.kind === 'delete') removed.push(key)
      else if (resolution.kind !== 'adopt') wrote.push(fork ? keyOf(fork) : key)
      if (fork !== null || !sameJson(now, given)) {
        const conflicts = resolution.kind === 'put' ? resolution.conflicts : []
        outcomes.push({ key, base: bases.get(key) ?? null, wrote: given, now, fork, conflicts })
      }
    }
    if (wrote.length + removed.length > 0) this.#say({ wrote, removed })
    if (outcomes.length > 0) this.#listener?.outcomes(outcomes)
  }

  #say(told: Told): void {
    if (!this.#isClosed) this.#channel?.postMessage(told)
  }

  /** Another tab names the keys it wrote; what they hold is read from the store, where the truth is. */
  async #heard(message: unknown): Promise<void> {
    const told = v.safeParse(ToldSchema, message)
    if (!told.success) return
    const { wrote, removed } = told.output
    if (!this.#isRead) {
      const early = this.#heardEarly
      this.#heardEarly = { wrote: [...early.wrote, ...wrote], removed: [...early.removed, ...removed] }
      return
    }
    const keys = [...new Set([...wrote, ...removed])]
    let records: ReadonlyMap<string, unknown>
    try {
      records = await this.#connection.read(async (objects) => {
        const found = new Map<string, unknown>()
        for (const key of keys) found.set(key, await objects.get(key))
        return found
      })
    } catch {
      // The next write looks at what it meets, and the next reading tells.
      return this.#lost()
    }
    const writes: Write[] = []
    const unreadable = new Map(this.#unreadable)
    for (const key of keys) {
      // A write of ours that is on its way is merged with this when it arrives.
      if (isEntryKey(key) && this.#isOnItsWay(key)) continue
      const record = records.get(key)
      // Gone though nobody removed it: storage was cleared. What this tab knows stays, to be put back.
      if (record === undefined && !removed.includes(key)) continue
      if (record === undefined || isEntryKey(key)) unreadable.delete(key)
      if (key === DESK_KEY && isDeskRecord(record)) {
        unreadable.delete(key)
        this.#deskIsRead(record)
      }
      if (!isEntryKey(key)) continue
      if (record === undefined) {
        this.#known.delete(key)
        writes.push({ key, entry: null })
        continue
      }
      const read = readRecord(key, record)
      if (read.ok) {
        this.#known.set(key, read.entry)
        writes.push({ key, entry: read.entry })
      } else unreadable.set(key, { key, record, sentence: read.sentence })
    }
    this.#setUnreadable(unreadable)
    if (writes.length > 0) this.#listener?.elsewhere(writes)
  }
}

/** What a tab tells the others: keys. */
const ToldSchema = v.object({ wrote: v.array(v.string()), removed: v.array(v.string()) })
type Told = Readonly<v.InferOutput<typeof ToldSchema>>
const NOTHING_TOLD: Told = { wrote: [], removed: [] }

/** What one transaction writes. */
interface Batch {
  readonly entries: ReadonlyMap<EntryKey, Entry | null>
  readonly desk: DeskChange
  readonly sides: ReadonlyMap<string, unknown>
  readonly back: ReadonlyMap<string, unknown>
}

const NO_BATCH: Batch = { entries: new Map(), desk: {}, sides: new Map(), back: new Map() }

/** The first of a map, which is taken out of it. */
function takeFirst<K, V>(from: Map<K, V>): Map<K, V> {
  for (const [key, value] of from) {
    from.delete(key)
    return new Map([[key, value]])
  }
  return new Map()
}

const isRefusal = (cause: unknown): boolean => cause instanceof DOMException && cause.name === 'SecurityError'

type ReadRecord =
  { readonly ok: true; readonly entry: Entry } | { readonly ok: false; readonly sentence: string }

function readRecord(key: EntryKey, record: unknown): ReadRecord {
  const read = readEntry(record)
  if (!read.ok) return { ok: false, sentence: documentSentence(read.error) }
  if (keyOf(read.value) !== key) return { ok: false, sentence: storeTexts.damaged }
  return { ok: true, entry: read.value }
}

function storedOf(key: EntryKey, record: unknown): Stored {
  if (record === undefined) return { kind: 'nothing' }
  const read = readRecord(key, record)
  return read.ok ? { kind: 'entry', entry: read.entry } : { kind: 'unreadable' }
}

function nowStored(resolution: Resolution): Entry | null {
  if (resolution.kind === 'delete') return null
  return resolution.kind === 'fork' ? resolution.there : resolution.entry
}

/** Changes what is stored of the desk, whatever other tabs and newer versions have put there; gives the record as it is now. */
async function putDesk(
  objects: Writing,
  change: DeskChange,
): Promise<Readonly<Record<string, unknown>> | null> {
  if (Object.keys(change).length === 0) return null
  const stored = await objects.get(DESK_KEY)
  if (stored !== undefined && !isDeskRecord(stored)) return null
  const record = withDeskChange((stored ?? EMPTY_DESK) as DeskChange, change)
  await objects.put(record, DESK_KEY)
  return record as Readonly<Record<string, unknown>>
}

async function putSides(objects: Writing, sides: ReadonlyMap<string, unknown>): Promise<void> {
  for (const [key, value] of sides) await objects.put(value, `${SIDE}${key}`)
}

async function putMissing(objects: Writing, records: ReadonlyMap<string, unknown>): Promise<void> {
  for (const [key, record] of records) {
    if ((await objects.get(key)) === undefined) await objects.put(record, key)
  }
}
