const DATABASE = 'ninepin'
const OBJECTS = 'shelf'

/** The records inside a transaction that reads. */
export interface Reading {
  get(key: string): Promise<unknown>
  /** All of them, by their keys. */
  all(): Promise<ReadonlyMap<string, unknown>>
}

/** The records inside a transaction that writes. */
export interface Writing {
  get(key: string): Promise<unknown>
  put(record: unknown, key: string): Promise<unknown>
  delete(key: string): Promise<unknown>
}

/**
 * The connection to IndexedDB. It is opened when it is first needed, and again after it was lost: an open that failed
 * is tried again with the next transaction, never remembered.
 */
export class Connection {
  #opening: Promise<IDBDatabase> | null = null
  readonly #onlost: () => void

  /** @param onlost the connection was closed from outside: what the database holds now is unknown */
  constructor(onlost: () => void) {
    this.#onlost = onlost
  }

  /** Runs `work` in a transaction that reads. Rejects where the database cannot be opened or read. */
  read<T>(work: (records: Reading) => Promise<T>): Promise<T> {
    return this.#run('readonly', (objects) =>
      work({
        get: (key) => answer(objects.get(key)),
        async all() {
          const keys = await answer(objects.getAllKeys())
          const records = await answer(objects.getAll())
          return new Map(keys.map((key, k) => [String(key), records[k] as unknown]))
        },
      }),
    )
  }

  /** Runs `work` in a transaction that writes: all of it is on disk when the promise resolves, none of it when it rejects. */
  write<T>(work: (records: Writing) => Promise<T>): Promise<T> {
    return this.#run('readwrite', (objects) =>
      work({
        get: (key) => answer(objects.get(key)),
        put: (record, key) => answer(objects.put(record, key)),
        delete: (key) => answer(objects.delete(key)),
      }),
    )
  }

  close(): void {
    const opening = this.#opening
    this.#opening = null
    opening?.then((db) => db.close()).catch(() => undefined)
  }

  async #run<T>(mode: IDBTransactionMode, work: (objects: IDBObjectStore) => Promise<T>): Promise<T> {
    const opening = (this.#opening ??= this.#open())
    let tx: IDBTransaction
    try {
      // Strict: the browser says so only once it has flushed (Indexed Database API 3.0, "Transactions").
      tx = (await opening).transaction(OBJECTS, mode, { durability: 'strict' })
    } catch (cause) {
      // Not opened, or about to be closed by the browser: the next try opens a new one.
      this.#lose(opening)
      throw cause
    }
    const complete = ended(tx)
    try {
      const result = await work(tx.objectStore(OBJECTS))
      await complete
      return result
    } catch (cause) {
      // Takes everything back, unless it has ended already. Why it ended says more than what was refused after that.
      try {
        tx.abort()
      } catch {
        await complete
      }
      throw cause
    }
  }

  #open(): Promise<IDBDatabase> {
    const opening = new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open(DATABASE)
      request.onupgradeneeded = () => request.result.createObjectStore(OBJECTS)
      request.onerror = () => reject(request.error)
      request.onsuccess = () => {
        const db = request.result
        const lose = () => this.#lose(opening)
        db.onclose = lose
        // Another page deletes the database or brings it to a newer form, and must not wait for this one.
        db.onversionchange = () => {
          db.close()
          lose()
        }
        resolve(db)
      }
    })
    return opening
  }

  #lose(opening: Promise<unknown>): void {
    if (this.#opening !== opening) return
    this.#opening = null
    this.#onlost()
  }
}

const answer = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })

/** Resolves when a transaction is complete, rejects when it was taken back. */
function ended(tx: IDBTransaction): Promise<void> {
  const promise = new Promise<void>((resolve, reject) => {
    tx.oncomplete = () => resolve()
    tx.onabort = () => reject(tx.error ?? new DOMException('', 'AbortError'))
  })
  // Whoever waits for it hears of it; nobody else has to.
  promise.catch(() => undefined)
  return promise
}
