import { createStore, entries, get, promisifyRequest, set } from 'idb-keyval'
import type { UseStore } from 'idb-keyval'
import { documentSentence } from '../document/document.ts'
import { EMPTY_DESK, readDesk } from './desk.ts'
import type { Desk } from './desk.ts'
import { isEntryKey, keyOf, readEntry } from './entry.ts'
import type { Entry, EntryKey } from './entry.ts'

/** What one edit writes: a document, or `null` where one was taken off the shelf. */
export interface Write {
  readonly key: EntryKey
  readonly kept: Entry | null
}

export interface Loaded {
  readonly kept: readonly Entry[]
  readonly desk: Desk
  /** Records that cannot be read. They stay where they are, for a newer version to read. */
  readonly damaged: readonly string[]
}

/** Whether the last write arrived. */
export type Keeping = { readonly kind: 'kept' } | { readonly kind: 'not-kept'; readonly sentence: string }

export interface StoreListener {
  keeping(state: Keeping): void
  /** Another tab wrote these. */
  elsewhere(writes: readonly Write[]): void
}

const DATABASE = 'ninepin'
const OBJECTS = 'shelf'
const CHANNEL = 'ninepin-shelf'
const DESK_KEY = 'desk'
const LOAD_WITHIN_MS = 3_000
const NOTHING: Loaded = { kept: [], desk: EMPTY_DESK, damaged: [] }

const GOES_ON =
  'Everything goes on working, but it is lost when this page is closed. Export what you want to keep.'

/** Why the browser does not keep things, and what to do. */
export function keepingSentence(cause: unknown): string {
  const name = cause instanceof DOMException ? cause.name : ''
  if (name === 'QuotaExceededError') {
    return `This browser has no room left to keep your work. ${GOES_ON} Then free some space and edit again.`
  }
  return `This browser does not let the page keep things (a private window, or storage switched off). ${GOES_ON}`
}

/**
 * The shelf in IndexedDB: one record a document, so that two tabs that work on two documents never meet. On the same
 * document the last writer wins, and the other tab is told.
 */
export class ShelfStore {
  readonly #store: UseStore | null
  readonly #channel: BroadcastChannel | null
  #waiting = new Map<EntryKey, Entry | null>()
  #waitingDesk: Desk | null = null
  #writing: Promise<void> | null = null

  #listener: StoreListener | null = null
  #keeping: Keeping = { kind: 'kept' }

  constructor() {
    this.#store = openStore()
    this.#channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(CHANNEL)
    if (this.#channel) this.#channel.onmessage = (event) => void this.#heard(event.data)
  }

  /** Tells how keeping stands now and from here on. */
  listen(listener: StoreListener): void {
    this.#listener = listener
    listener.keeping(this.#keeping)
  }

  #tell(state: Keeping): void {
    this.#keeping = state
    this.#listener?.keeping(state)
  }

  /**
   * Everything that is kept. What cannot be read is told, never thrown away. A browser that does not answer about its
   * storage must not keep the app from opening.
   */
  async load(withinMs = LOAD_WITHIN_MS): Promise<Loaded> {
    let timer: ReturnType<typeof setTimeout> | undefined
    const silence = new Promise<null>((resolve) => (timer = setTimeout(resolve, withinMs, null)))
    const loaded = await Promise.race([this.#load(), silence])
    clearTimeout(timer)
    if (loaded !== null) return loaded
    this.#tell({ kind: 'not-kept', sentence: keepingSentence(null) })
    return NOTHING
  }

  async #load(): Promise<Loaded> {
    try {
      if (this.#store === null) throw new DOMException('', 'InvalidStateError')
      const all = await entries<IDBValidKey, unknown>(this.#store)
      const kept: Entry[] = []
      const damaged: string[] = []
      for (const [key, record] of all) {
        if (!isEntryKey(key)) continue
        const read = readEntry(record)
        if (read.ok) kept.push(read.value)
        else damaged.push(`${key}: ${documentSentence(read.error)}`)
      }
      this.#tell({ kind: 'kept' })
      return { kept, desk: readDesk(all.find(([key]) => key === DESK_KEY)?.[1]), damaged }
    } catch (cause) {
      this.#tell({ kind: 'not-kept', sentence: keepingSentence(cause) })
      return NOTHING
    }
  }

  /** Writes as soon as the write before has arrived; of several versions of a document only the last. */
  write(writes: readonly Write[], desk?: Desk): void {
    for (const { key, kept } of writes) this.#waiting.set(key, kept)
    if (desk) this.#waitingDesk = desk
    this.#writing ??= this.#drain()
  }

  /** When everything that was given to `write` has arrived or failed. */
  async settled(): Promise<void> {
    while (this.#writing) await this.#writing
  }

  /** A thing of another room, kept beside the shelf under its own key. */
  side(key: string): Promise<unknown> {
    return this.#read(`side:${key}`)
  }

  async setSide(key: string, value: unknown): Promise<void> {
    try {
      if (this.#store !== null) await set(`side:${key}`, value, this.#store)
    } catch (cause) {
      this.#failed(cause)
    }
  }

  close(): void {
    this.#channel?.close()
  }

  async #drain(): Promise<void> {
    // One turn later, so that edits of the same turn go together.
    await Promise.resolve()
    while (this.#waiting.size > 0 || this.#waitingDesk !== null) {
      const batch = this.#waiting
      const desk = this.#waitingDesk
      this.#waiting = new Map()
      this.#waitingDesk = null
      try {
        if (this.#store === null) throw new DOMException('', 'InvalidStateError')
        await this.#store('readwrite', (objects) => {
          for (const [key, kept] of batch) {
            if (kept === null) objects.delete(key)
            else objects.put(kept, key)
          }
          if (desk) objects.put(desk, DESK_KEY)
          return promisifyRequest(objects.transaction)
        })
        this.#tell({ kind: 'kept' })
        if (batch.size > 0) this.#channel?.postMessage([...batch.keys()])
      } catch (cause) {
        // What failed waits for the next edit, unless that edit brings a newer version of it.
        for (const [key, kept] of batch) if (!this.#waiting.has(key)) this.#waiting.set(key, kept)
        this.#waitingDesk ??= desk
        this.#failed(cause)
        break
      }
    }
    this.#writing = null
  }

  #failed(cause: unknown): void {
    this.#tell({ kind: 'not-kept', sentence: keepingSentence(cause) })
  }

  async #read(key: string): Promise<unknown> {
    try {
      return this.#store === null ? undefined : await get<unknown>(key, this.#store)
    } catch {
      return undefined
    }
  }

  /** Another tab names the keys it wrote; what they hold is read from the store, where the truth is. */
  async #heard(message: unknown): Promise<void> {
    if (!Array.isArray(message)) return
    const writes: Write[] = []
    for (const key of message.filter(isEntryKey)) {
      // A write of ours that is on its way is the newer one.
      if (this.#waiting.has(key)) continue
      const record = await this.#read(key)
      if (record === undefined) writes.push({ key, kept: null })
      else {
        const read = readEntry(record)
        if (read.ok && keyOf(read.value) === key) writes.push({ key, kept: read.value })
      }
    }
    if (writes.length > 0) this.#listener?.elsewhere(writes)
  }
}

function openStore(): UseStore | null {
  try {
    return createStore(DATABASE, OBJECTS)
  } catch {
    return null
  }
}
