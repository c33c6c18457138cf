import {
  IDBDatabase as FakeDatabase,
  IDBFactory as FakeFactory,
  IDBObjectStore as FakeObjects,
  forceCloseDatabase,
} from 'fake-indexeddb'
import { readEntry } from '../../src/shelf/entry.ts'

/** What can go wrong with a store. */
export const FAULTS = [
  'open fails',
  'open is slow',
  'read fails',
  'read is cut',
  'put fails',
  'transaction aborts',
  'connection closes',
  'write is slow',
] as const
export type Fault = (typeof FAULTS)[number]

/** So long a slow answer takes; longer than the app waits for its first reading in these tests. */
export const SLOW_MS = 25

type Operation = 'open' | 'transaction' | 'get' | 'all' | 'put' | 'delete'

/** The operations that a fault can strike. */
const STRIKES: Record<Fault, readonly Operation[]> = {
  'open fails': ['open'],
  'open is slow': ['open'],
  'read fails': ['get', 'all'],
  'read is cut': ['all'],
  'put fails': ['put', 'delete'],
  'transaction aborts': ['put', 'delete', 'get'],
  'connection closes': ['transaction', 'get', 'all', 'put', 'delete'],
  'write is slow': ['put'],
}

interface Put {
  readonly key: string
  /** `undefined` for a deletion. */
  readonly record: unknown
}

/**
 * A database whose n-th operation of a kind fails, over fake-indexeddb (npm package, an implementation of Indexed Database API 3.0), and
 * that watches what is committed: no revision may go down, and no record that cannot be read may be overwritten.
 */
export class FaultyDatabase {
  /** How many operations the fault could have struck. */
  struck = 0
  /** Breaches of the law, in words. */
  readonly breaches: string[] = []
  /** What is committed, by this database's own account. */
  readonly committed = new Map<string, unknown>()
  /** Entries that the user took off the shelf: only these may go. */
  readonly mayGo = new Set<string>()
  /** The database was cleared by the user: everything may go. */
  isCleared = false
  readonly #connections = new Set<IDBDatabase>()
  readonly #fault: Fault | null
  readonly #from: number
  readonly #times: number
  readonly #undo: (() => void)[] = []
  readonly #puts = new Map<IDBTransaction, Put[]>()

  /**
   * @param from the first operation that is struck, from 1
   * @param times how many in a row
   */
  constructor(fault: Fault | null, from = 1, times = 1) {
    this.#fault = fault
    this.#from = from
    this.#times = times
  }

  install(records: Readonly<Record<string, unknown>>): Promise<void> {
    const factory = new FakeFactory()
    globalThis.indexedDB = factory
    const open = factory.open.bind(factory)
    return new Promise((resolve, reject) => {
      const request = open('ninepin')
      request.onupgradeneeded = () => request.result.createObjectStore('shelf')
      request.onerror = () => reject(request.error)
      request.onsuccess = () => {
        const tx = request.result.transaction('shelf', 'readwrite')
        for (const [key, record] of Object.entries(records)) {
          tx.objectStore('shelf').put(record, key)
          this.committed.set(key, structuredClone(record))
        }
        tx.oncomplete = () => {
          request.result.close()
          this.#patch(factory)
          resolve()
        }
      }
    })
  }

  /** From here on nothing fails. */
  heal(): void {
    this.#healed = true
  }
  #healed = false
  #isClearing = false

  /** Everything in it is deleted and every connection closed, as a browser does whose user clears the storage. */
  async clear(): Promise<void> {
    const [db] = this.#connections
    if (!db) return
    for (const one of this.#connections) forceCloseDatabase(one as never)
    this.#connections.clear()
    this.#isClearing = true
    await new Promise<void>((resolve) => {
      const request = indexedDB.open('ninepin')
      request.onsuccess = () => {
        const tx = request.result.transaction('shelf', 'readwrite')
        tx.objectStore('shelf').clear()
        tx.oncomplete = () => {
          this.committed.clear()
          request.result.close()
          this.#isClearing = false
          resolve()
        }
      }
    })
  }

  remove(): void {
    for (const undo of this.#undo.toReversed()) undo()
  }

  #strikes(operation: Operation): boolean {
    if (this.#healed || this.#isClearing || this.#fault === null || !STRIKES[this.#fault].includes(operation))
      return false
    this.struck++
    return this.struck >= this.#from && this.struck < this.#from + this.#times
  }

  #patch(factory: IDBFactory): void {
    const fault = this.#fault
    const open = factory.open.bind(factory)
    factory.open = (name, version) => {
      const strikes = this.#strikes('open')
      const request = open(name, version)
      if (strikes && fault === 'open fails') failOpen(request)
      if (strikes && fault === 'open is slow') delayOpen(request)
      return request
    }
    this.#wrap(FakeDatabase.prototype, 'transaction', (call, db: IDBDatabase) => {
      this.#connections.add(db)
      if (this.#strikes('transaction')) forceCloseDatabase(db as never)
      const tx = call() as IDBTransaction
      if (tx.mode === 'readwrite') {
        this.#puts.set(tx, [])
        tx.addEventListener('complete', () => this.#commit(this.#puts.get(tx) ?? []))
      }
      return tx
    })
    this.#wrap(FakeObjects.prototype, 'get', (call, objects: IDBObjectStore) =>
      this.#read('get', call, objects),
    )
    this.#wrap(FakeObjects.prototype, 'getAll', (call, objects: IDBObjectStore) =>
      this.#read('all', call, objects),
    )
    this.#wrap(FakeObjects.prototype, 'put', (call, objects: IDBObjectStore, [record, key]) =>
      this.#write('put', call, objects, { key: String(key), record: structuredClone(record) }),
    )
    this.#wrap(FakeObjects.prototype, 'delete', (call, objects: IDBObjectStore, [key]) =>
      this.#write('delete', call, objects, { key: String(key), record: undefined }),
    )
  }

  #read(operation: 'get' | 'all', call: () => unknown, objects: IDBObjectStore): unknown {
    const strikes = this.#strikes(operation)
    if (strikes && this.#fault === 'read fails') throw new DOMException('', 'UnknownError')
    const request = call()
    if (strikes && this.#fault === 'connection closes') forceCloseDatabase(objects.transaction.db as never)
    if (strikes) objects.transaction.abort()
    return request
  }

  #write(operation: 'put' | 'delete', call: () => unknown, objects: IDBObjectStore, put: Put): unknown {
    const strikes = this.#strikes(operation)
    if (strikes && this.#fault === 'put fails') throw new DOMException('', 'QuotaExceededError')
    const request = call() as IDBRequest
    this.#puts.get(objects.transaction)?.push(put)
    if (!strikes) return request
    if (this.#fault === 'connection closes') forceCloseDatabase(objects.transaction.db as never)
    if (this.#fault === 'write is slow') keepBusy(objects, performance.now() + SLOW_MS)
    else objects.transaction.abort()
    return request
  }

  #commit(puts: readonly Put[]): void {
    for (const { key, record } of puts) {
      const before = this.committed.get(key)
      if (before !== undefined && /^(profile|title|layout):/.test(key)) this.#check(key, before, record)
      if (key === 'desk' && before !== undefined && (typeof before !== 'object' || before === null)) {
        this.breaches.push('a desk that cannot be read was overwritten')
      }
      if (record === undefined) this.committed.delete(key)
      else this.committed.set(key, record)
    }
  }

  #check(key: string, before: unknown, after: unknown): void {
    const old = readEntry(before)
    if (!old.ok) {
      this.breaches.push(`${key}: a record that cannot be read was overwritten or removed`)
      return
    }
    if (after === undefined) {
      if (!this.mayGo.has(key) && !this.isCleared)
        this.breaches.push(`${key}: removed though nobody removed it`)
      return
    }
    const now = readEntry(after)
    if (!now.ok) this.breaches.push(`${key}: became unreadable`)
    else if (now.value.revision < old.value.revision) {
      this.breaches.push(`${key}: went from revision ${old.value.revision} to ${now.value.revision}`)
    }
  }

  #wrap<T extends object>(
    prototype: T,
    name: keyof T,
    around: (call: () => unknown, self: never, args: readonly unknown[]) => unknown,
  ): void {
    const original = prototype[name] as (...args: unknown[]) => unknown
    Object.defineProperty(prototype, name, {
      configurable: true,
      writable: true,
      value(this: unknown, ...args: unknown[]) {
        return around(() => original.apply(this, args), this as never, args)
      },
    })
    this.#undo.push(() =>
      Object.defineProperty(prototype, name, { configurable: true, writable: true, value: original }),
    )
  }
}

/** The request ends with an error instead of a database. */
function failOpen(request: IDBOpenDBRequest): void {
  request.addEventListener('success', (event) => {
    event.stopImmediatePropagation()
    request.result.close()
    Object.defineProperty(request, 'error', { value: new DOMException('', 'UnknownError') })
    request.onerror?.call(request, new Event('error'))
    request.onsuccess = null
  })
}

/** The request is answered late. */
function delayOpen(request: IDBOpenDBRequest): void {
  request.addEventListener('success', (event) => {
    const late = request.onsuccess
    request.onsuccess = null
    setTimeout(() => late?.call(request, event), SLOW_MS)
  })
}

/** Keeps a transaction from completing. */
function keepBusy(objects: IDBObjectStore, untilMs: number): void {
  if (performance.now() >= untilMs) return
  objects.getKey('nothing').onsuccess = () => keepBusy(objects, untilMs)
}
