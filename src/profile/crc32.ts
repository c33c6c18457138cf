/**
 * CRC-32 as the catalogue of parametrised CRC algorithms lists it under CRC-32/ISO-HDLC: reflected polynomial
 * 0xEDB88320, starting value and final complement 0xFFFFFFFF. Images and link frames both end with it.
 */
const TABLE = Uint32Array.from({ length: 256 }, (_, index) => {
  let remainder = index
  for (let bit = 0; bit < 8; bit++)
    remainder = remainder & 1 ? (remainder >>> 1) ^ 0xedb88320 : remainder >>> 1
  return remainder
})

/** The CRC-32 of some bytes as an unsigned 32-bit number. */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff
  for (const byte of bytes) crc = (crc >>> 8) ^ (TABLE[(crc ^ byte) & 0xff] as number)
  return (crc ^ 0xffffffff) >>> 0
}
