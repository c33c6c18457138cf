const TABLE = Uint32Array.from({ length: 256 }, (_, index) => {
  let remainder = index
  for (let bit = 0; bit < 8; bit++) remainder = (remainder >>> 1) ^ (remainder & 1 ? 0xedb88320 : 0)
  return remainder
})

/** The CRC-32 of a zip's entries (source: PKWARE APPNOTE.TXT 4.4.7), piece by piece. */
export class Crc32 {
  #state = 0xffffffff

  update(bytes: Uint8Array): void {
    let state = this.#state
    for (let k = 0; k < bytes.length; k++) {
      state = (state >>> 8) ^ (TABLE[(state ^ (bytes[k] ?? 0)) & 0xff] ?? 0)
    }
    this.#state = state
  }

  get value(): number {
    return ~this.#state >>> 0
  }
}
