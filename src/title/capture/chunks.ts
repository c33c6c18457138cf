/** Bytes in order. A chunk holds only until the next one is asked for. */
export type Chunks = AsyncIterable<Uint8Array> | Iterable<Uint8Array>

/** Bytes that are read once, so that they may come from a pipe, and of which the beginning is looked at first. */
export class HeadedChunks {
  /** What was looked at; kept. */
  readonly #head: Uint8Array[] = []
  readonly #rest: AsyncIterator<Uint8Array> | Iterator<Uint8Array>
  bytesRead = 0

  constructor(chunks: Chunks) {
    this.#rest = Symbol.asyncIterator in chunks ? chunks[Symbol.asyncIterator]() : chunks[Symbol.iterator]()
  }

  /** The first bytes, at least so many where there are as many. */
  async begin(bytes: number): Promise<Uint8Array> {
    let more = true
    while (more && this.bytesRead < bytes) more = (await this.#more()) !== null
    return joined(this.#head)
  }

  /** From the first byte on, as far as it is asked for; what is read in this way can be read once more. */
  async *head(): AsyncGenerator<Uint8Array> {
    for (let k = 0; ; k++) {
      const chunk = this.#head[k] ?? (await this.#more())
      if (chunk === null) return
      yield chunk
    }
  }

  /** All of it, from the first byte on, for the last time. */
  async *all(): AsyncGenerator<Uint8Array> {
    yield* this.#head
    for (let next = await this.#rest.next(); !next.done; next = await this.#rest.next()) {
      this.bytesRead += next.value.length
      yield next.value
    }
  }

  /** Tells where the bytes come from that no more are wanted. */
  async leave(): Promise<void> {
    await this.#rest.return?.()
  }

  async #more(): Promise<Uint8Array | null> {
    const next = await this.#rest.next()
    if (next.done) return null
    const chunk = next.value.slice()
    this.#head.push(chunk)
    this.bytesRead += chunk.length
    return chunk
  }
}

export function joined(chunks: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(chunks.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const chunk of chunks) {
    bytes.set(chunk, at)
    at += chunk.length
  }
  return bytes
}
