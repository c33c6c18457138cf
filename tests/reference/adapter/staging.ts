/**
 * Where an image gathers before it is committed. There is no "begin": a chunk of another bank or another length starts
 * afresh, a chunk that is already there is simply written again.
 */
export class Staging {
  readonly #area: Uint8Array
  readonly #chunkBytes: number
  #bank = -1
  #total = 0
  #chunksHere = new Set<number>()

  constructor(largestBytes: number, chunkBytes: number) {
    this.#area = new Uint8Array(largestBytes)
    this.#chunkBytes = chunkBytes
  }

  /** Puts one chunk down; false when it is not exactly a chunk of that image. */
  put(bank: number, total: number, offset: number, bytes: Uint8Array): boolean {
    const isChunk =
      total <= this.#area.length &&
      offset < total &&
      offset % this.#chunkBytes === 0 &&
      bytes.length === Math.min(this.#chunkBytes, total - offset)
    if (!isChunk) return false
    if (bank !== this.#bank || total !== this.#total) this.clear()
    this.#bank = bank
    this.#total = total
    this.#area.set(bytes, offset)
    this.#chunksHere.add(offset)
    return true
  }

  /** The image, when every chunk of it is here. */
  whole(bank: number, total: number): Uint8Array | null {
    const chunks = Math.ceil(total / this.#chunkBytes)
    const complete = bank === this.#bank && total === this.#total && this.#chunksHere.size === chunks
    return complete ? this.#area.slice(0, total) : null
  }

  clear(): void {
    this.#bank = -1
    this.#chunksHere = new Set()
  }
}
