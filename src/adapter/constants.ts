// Written by `npm run tables` from src/adapter/link.table.ts; change it there.

/** Numbers of the link, version 1.2; LINK.md is its specification. */

/** A newer major changes what old programs rely on and is refused; a newer minor only adds. */
export const PROTOCOL = {
  major: 1,
  minor: 2,
} as const

/** What every adapter that speaks this link answers first: 16 bytes. */
export const PRODUCT_MARK = new TextEncoder().encode('Ninepin adapter\0')

export const BANK_NUMBERS = [1, 2, 3, 4] as const
/** A bank as people count it. On the wire it is one less. */
export type BankNumber = (typeof BANK_NUMBERS)[number]

/** On the wire, the active bank when there is none. */
export const NO_BANK = 0xff
/** In the place of a bank, in write, commit and read: the trial slot. */
export const TRIAL_SLOT = 4
/** Of the board’s name, and of its serial number. */
export const NAME_BYTES = 24
export const MAX_PAYLOAD_BYTES = 240
/** Type, sequence number, CRC-32. */
export const FRAME_OVERHEAD_BYTES = 6
export const MAX_BODY_BYTES = 246
/** A body is shorter than 254 bytes, so COBS always adds exactly one. */
export const MAX_ENCODED_BYTES = 247
/** The largest chunk that an adapter may ask for; fits a frame with the write header, with room to spare. */
export const MAX_CHUNK_BYTES = 224
/** Mark and protocol version: the same in every version there will ever be. */
export const LASTING_BYTES = 18
/** What an identified adapter is given: one sending and the repeats. */
export const REPLY_TIMEOUT_MS = 250
/** A commit, and forgetting pads, erases and programs flash memory: 400 ms at most for a sector of a usual serial flash chip (from memory). */
export const COMMIT_TIMEOUT_MS = 2000
export const ATTEMPTS = 5
/** A stranger gets fewer and slower tries: it may be starting up, or may not be ours at all. */
export const IDENTIFY_TIMEOUT_MS = 400
export const IDENTIFY_ATTEMPTS = 3

/** Types of requests. */
export const REQUEST_TYPES = {
  identify: 0x01,
  status: 0x02,
  write: 0x03,
  commit: 0x04,
  read: 0x05,
  'select-bank': 0x06,
  monitor: 0x07,
  'set-controls': 0x08,
  'pad-history': 0x09,
  'read-stored': 0x0a,
  'forget-pads': 0x0b,
  'forget-trial': 0x0c,
} as const

/** A reply has the type of its request with this bit set. */
export const REPLY_BIT = 0x80
export const INPUT_EVENT_TYPE = 0xc0
export const ERROR_TYPE = 0xff

/** Why a device refused. The order is the code on the wire, from 1: append, never reorder. */
export const DEVICE_ERRORS = [
  'unknown message',
  'wrong length',
  'identify first',
  'no such bank',
  'image too large',
  'out of range',
  'incomplete',
  'checksum differs',
  'not an image',
  'bank empty',
  'memory failed',
  'busy',
  'nothing stored',
] as const

/** The reply to identify. */
export const IDENTITY_AT = {
  mark: 0,
  major: 16,
  minor: 17,
  firmware: 18,
  banks: 21,
  largestImageBytes: 22,
  chunkBytes: 24,
  delayStepNs: 26,
  delayStretch: 27,
  replyMinNs: 28,
  replyMaxNs: 32,
  idleResetMinNs: 36,
  idleResetMaxNs: 40,
  board: 44,
  serial: 68,
} as const
export const IDENTITY_BYTES = 92

/** The reply to status; the banks follow. */
export const STATUS_AT = {
  active: 0,
  banks: 1,
} as const
export const STATUS_HEAD_BYTES = 2

/** A bank in it. */
export const STATUS_BANK_AT = {
  length: 0,
  crc32: 2,
} as const
export const STATUS_BANK_BYTES = 6

/** Behind the banks, since version 1.2: the trial slot. */
export const STATUS_TRIAL_AT = {
  length: 0,
  crc32: 2,
  state: 6,
} as const
export const STATUS_TRIAL_BYTES = 7

/** What has become of the image in the trial slot. The order is the number on the wire: append, never reorder. */
export const TRIAL_STATES = ['empty', 'armed', 'in use', 'used'] as const

/** The payload of write; the chunk follows. */
export const WRITE_AT = {
  bank: 0,
  total: 1,
  offset: 3,
} as const
export const WRITE_HEAD_BYTES = 5

/** The payload of commit. */
export const COMMIT_AT = {
  bank: 0,
  length: 1,
  crc32: 3,
} as const
export const COMMIT_BYTES = 7

/** The payload of read, with the bank, and of read-stored. */
export const READ_AT = {
  which: 0,
  offset: 1,
  count: 3,
} as const
export const READ_BYTES = 4

/** The reply to either; the bytes follow. */
export const PIECE_AT = {
  total: 0,
  count: 2,
} as const
export const PIECE_HEAD_BYTES = 3

/** An input event. */
export const EVENT_AT = {
  controls: 0,
  inputs: 4,
  rises: 6,
  select: 8,
} as const
export const EVENT_BYTES = 9

/** A refusal. */
export const ERROR_AT = {
  code: 0,
  type: 1,
} as const
export const ERROR_BYTES = 2

export const HISTORY_MAX_PADS = 8
/** Of a report descriptor. */
export const HISTORY_MAX_DESCRIPTOR_BYTES = 2048
/** A full-speed interrupt packet (USB 2.0 section 5.7.3). */
export const ACTIVITY_MAX_REPORT_BYTES = 64
/** Reports, and reads, in the last activity. */
export const ACTIVITY_LAST = 16

/** What became of a pad. The order is the number on the wire: append, never reorder. */
export const PAD_OUTCOMES = ['served', 'no layout', 'hub', 'keyboard', 'no pad', 'failed'] as const

/** A pad of the pad history. */
export const PAD_RECORD_AT = {
  via: 0,
  outcome: 1,
  vendor: 2,
  product: 4,
  release: 6,
  descriptorCrc32: 8,
} as const
export const PAD_RECORD_BYTES = 12

/** The last activity; reads and reports follow. */
export const ACTIVITY_AT = {
  pad: 0,
  mostRises: 12,
  reads: 14,
  reports: 15,
  takenMs: 16,
  reportCount: 20,
  readCount: 24,
  controls: 28,
  inputs: 32,
  there: 34,
  zero: 35,
} as const
export const ACTIVITY_HEAD_BYTES = 36

/** A pad, and how much of its report descriptor is kept. */
export const LISTED_PAD_BYTES = 14
/** Time of its end and rises. */
export const ACTIVITY_READ_BYTES = 6
/** Time, length and content. */
export const ACTIVITY_REPORT_BYTES = 69
export const MAX_ACTIVITY_BYTES = 1236
