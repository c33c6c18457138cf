/** Numbers of the link; LINK.md is their specification and tests/adapter/link-md.test.ts keeps the two equal. */

/** A newer major changes what old programs rely on and is refused; a newer minor only adds. */
export const PROTOCOL = { major: 1, minor: 1 } as const

/** What every adapter that speaks this link answers first: "Ninepin adapter" and a zero, 16 bytes. */
export const PRODUCT_MARK = new TextEncoder().encode('Ninepin adapter\0')

export const BANK_NUMBERS = [1, 2, 3, 4] as const
/** A bank as people count it. On the wire it is one less. */
export type BankNumber = (typeof BANK_NUMBERS)[number]

/** On the wire, the active bank when there is none. */
export const NO_BANK = 0xff

export const MAX_PAYLOAD_BYTES = 240
/** Type, sequence number, CRC-32. */
export const FRAME_OVERHEAD_BYTES = 6
export const MAX_BODY_BYTES = MAX_PAYLOAD_BYTES + FRAME_OVERHEAD_BYTES
/** A body is shorter than 254 bytes, so COBS always adds exactly one. */
export const MAX_ENCODED_BYTES = MAX_BODY_BYTES + 1

/** Largest chunk that an adapter may ask for; fits a frame with the write header, with room to spare. */
export const MAX_CHUNK_BYTES = 224

/** What an identified adapter is given: one sending and the repeats. */
export const REPLY_TIMEOUT_MS = 250
/** A commit, and forgetting pads, erases and programs flash memory: 400 ms at most for a sector of a usual serial flash chip (from memory). */
export const COMMIT_TIMEOUT_MS = 2000
export const ATTEMPTS = 5

/** A stranger gets fewer and slower tries: it may be starting up, or may not be ours at all. */
export const IDENTIFY_TIMEOUT_MS = 400
export const IDENTIFY_ATTEMPTS = 3
