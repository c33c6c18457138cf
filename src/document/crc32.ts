/**
 * CRC-32 as the catalogue of parametrised CRC algorithms lists it under CRC-32/ISO-HDLC: reflected polynomial
 * 0xEDB88320, starting value and final complement 0xFFFFFFFF. Images and link frames both end with it, and so does each entry of
 * a zip (PKWARE APPNOTE.TXT 4.4.7).
 */
const TABLE = Uint32Array.from({ length: 256 }, (_, index) => {
  let remainder = index
  for (let bit = 0; bit < 8; bit++)
    remainder = remainder & 1 ? (remainder >>> 1) ^ 0xedb88320 : remainder >>> 1
  return remainder
})

/** The CRC-32 of bytes that come piece by piece. */
export class Crc32 {
  #state = 0xffffffff

  update(bytes: Uint8Array): this {
    let state = this.#state
    for (let k = 0; k < bytes.length; k++) {
      state = (state >>> 8) ^ (TABLE[(state ^ (bytes[k] as number)) & 0xff] as number)
    }
    this.#state = state
    return this
  }

  /** So far, as an unsigned 32-bit number. */
  get value(): number {
    return ~this.#state >>> 0
  }
}

/** The CRC-32 of some bytes as an unsigned 32-bit number. */
export const crc32 = (bytes: Uint8Array): number => new Crc32().update(bytes).value
