/** Little-endian numbers behind one another, in room that is as long as it has to be. */
export class ByteWriter {
  readonly bytes: Uint8Array<ArrayBuffer>
  readonly #view: DataView
  /** Where the next number goes. */
  at = 0

  constructor(length: number) {
    this.bytes = new Uint8Array(length)
    this.#view = new DataView(this.bytes.buffer)
  }

  u8(value: number): this {
    this.#view.setUint8(this.at, value)
    this.at += 1
    return this
  }
  u16(value: number): this {
    this.#view.setUint16(this.at, value, true)
    this.at += 2
    return this
  }
  u32(value: number): this {
    this.#view.setUint32(this.at, value, true)
    this.at += 4
    return this
  }
  /** With sign. */
  i32(value: number): this {
    return this.u32(value >>> 0)
  }
  put(bytes: ArrayLike<number>): this {
    this.bytes.set(bytes, this.at)
    this.at += bytes.length
    return this
  }
  /** Zero up to there: nothing was ever written behind `at`. */
  zeroTo(at: number): this {
    this.at = at
    return this
  }
}
