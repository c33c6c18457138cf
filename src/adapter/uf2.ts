/**
 * Files that the chip's boot loader writes when they are dragged onto its drive.
 *
 * Source: the UF2 specification (github.com/microsoft/uf2): blocks of 512 bytes, each with up to 476 bytes of payload and the
 * address it goes to. The RP2040's loader wants 256 bytes each, to a multiple of 256 (RP2040 datasheet §2.8.4.2).
 */

const BLOCK_BYTES = 512
const PAYLOAD_BYTES = 256
const MAGIC = [0x0a324655, 0x9e5d5157] as const
const MAGIC_END = 0x0ab16f30
const FLAG_FAMILY = 0x00002000
const FAMILY_RP2040 = 0xe48bff56

/** Bytes that go to an address, a multiple of 256. */
export interface Uf2Part {
  readonly address: number
  readonly bytes: Uint8Array
}

/** One file of some parts; the last page of each is filled up with ones, as erased flash reads. */
export function encodeUf2(parts: readonly Uf2Part[]): Uint8Array<ArrayBuffer> {
  const pages = parts.flatMap(pagesOf)
  const file = new Uint8Array(BLOCK_BYTES * pages.length)
  const view = new DataView(file.buffer)
  pages.forEach(({ address, bytes }, k) => {
    const words = [...MAGIC, FLAG_FAMILY, address, PAYLOAD_BYTES, k, pages.length, FAMILY_RP2040]
    words.forEach((word, at) => view.setUint32(BLOCK_BYTES * k + 4 * at, word, true))
    file.set(bytes, BLOCK_BYTES * k + 4 * words.length)
    view.setUint32(BLOCK_BYTES * (k + 1) - 4, MAGIC_END, true)
  })
  return file
}

function pagesOf({ address, bytes }: Uf2Part): Uf2Part[] {
  if (address % PAYLOAD_BYTES !== 0) throw new RangeError(`a UF2 page cannot go to address ${address}`)
  return Array.from({ length: Math.ceil(bytes.length / PAYLOAD_BYTES) }, (_, k) => {
    const page = new Uint8Array(PAYLOAD_BYTES).fill(0xff)
    page.set(bytes.subarray(PAYLOAD_BYTES * k, PAYLOAD_BYTES * (k + 1)))
    return { address: address + PAYLOAD_BYTES * k, bytes: page }
  })
}
