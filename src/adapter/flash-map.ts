// Written by `npm run tables` from src/adapter/flash.table.ts; change it there.

/** Where things lie in the serial flash, in bytes from its start, and its records: STORE.md says why. */

export const FLASH_MAP = {
  /** Of the smallest that will do. */
  bytes: 0x200000,
  sectorBytes: 0x1000,
  pageBytes: 0x100,
  firmwareAt: 0x000000,
  firmwareBytes: 0x080000,
  /** Copy A of the first bank; copy B is one sector further. */
  banksAt: 0x100000,
  banks: 4,
  bankBytes: 0x2000,
  /** Which bank is active. */
  activeLogAt: 0x110000,
  activeLogSectors: 2,
  /** The pad history, one pad a sector. */
  historyAt: 0x112000,
  historySectors: 9,
  /** Snapshots of the last activity. */
  activityAt: 0x11b000,
  activitySectors: 4,
  /** The trial slot, one sector. */
  trialAt: 0x11f000,
  /** In that sector: the mark that it was used. */
  trialUsedAt: 0xf00,
  trialUsedBytes: 16,
} as const

/** What a record or an entry begins with. */
export const MAGIC = {
  /** N9BK. */
  bank: 0x4b42394e,
} as const

/** The header of a record: of a copy of a bank, or of what is kept of pads. */
export const RECORD_AT = {
  magic: 0,
  sequence: 4,
  length: 8,
  zero: 10,
  contentCrc: 12,
  headerCrc: 16,
} as const
export const RECORD_HEADER_BYTES = 20
