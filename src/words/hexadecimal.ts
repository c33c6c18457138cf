/** Numbers as the trade writes them, the same in every language: in hexadecimal, with capitals. */
export const hexWord = (number: number, digits: number): string =>
  (number >>> 0).toString(16).toUpperCase().padStart(digits, '0')

/** "0x00FF". */
export const prefixedHexWord = (number: number, digits: number): string => `0x${hexWord(number, digits)}`

/** "09 04 A1". */
export const bytesWord = (bytes: Iterable<number>): string =>
  Array.from(bytes, (byte) => hexWord(byte, 2)).join(' ')

/** Vendor and product of a USB device: "1209:0001". */
export const numbersWord = ({
  vendorId,
  productId,
}: {
  readonly vendorId: number
  readonly productId: number
}): string => `${hexWord(vendorId, 4)}:${hexWord(productId, 4)}`

/** A release number in binary-coded decimal, "2.13" for 0x0213 (USB 2.0 section 9.6.1, bcdDevice). */
export const releaseWord = (release: number): string =>
  `${hexWord(release >> 8, 1)}.${hexWord(release & 0xff, 2)}`

/** A CRC-32 as it is printed everywhere: eight digits. */
export const crcWord = (crc: number): string => hexWord(crc, 8)

/** A CRC-32 in two halves, where it is compared by eye: "5A3C 91E0". */
export const crcWords = (crc: number): string => `${hexWord(crc >>> 16, 4)} ${hexWord(crc & 0xffff, 4)}`
