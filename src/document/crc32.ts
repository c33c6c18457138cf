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

/** What a byte becomes when a zero byte follows it. */
const onward = (table: Uint32Array): Uint32Array =>
  table.map((remainder) => (remainder >>> 8) ^ (TABLE[remainder & 0xff] as number))

/** What a byte becomes when one, two or three bytes follow it: with these, four bytes are taken at once. */
const TABLE_1 = onward(TABLE)
const TABLE_2 = onward(TABLE_1)
const TABLE_3 = onward(TABLE_2)

/** The CRC-32 of bytes that come piece by piece. */
export class Crc32 {
  #state = 0xffffffff

  update(bytes: Uint8Array): this {
    let state = this.#state
    const inFours = bytes.length & ~3
    let k = 0
    for (; k < inFours; k += 4) {
      state ^=
        (bytes[k] as number) |
        ((bytes[k + 1] as number) << 8) |
        ((bytes[k + 2] as number) << 16) |
        ((bytes[k + 3] as number) << 24)
      state =
        (TABLE_3[state & 0xff] as number) ^
        (TABLE_2[(state >>> 8) & 0xff] as number) ^
        (TABLE_1[(state >>> 16) & 0xff] as number) ^
        (TABLE[state >>> 24] as number)
    }
    for (; k < bytes.length; k++)
      state = (state >>> 8) ^ (TABLE[(state ^ (bytes[k] as number)) & 0xff] as number)
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
